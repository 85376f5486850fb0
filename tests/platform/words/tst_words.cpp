// One table of codes: each once, each with a sentence, arguments filled in; a code without a sentence still says something.

#include <platform/words/words.h>

#include <tests/support/test_main.h>

#include <QDir>
#include <QFile>

#include <algorithm>
#include <set>

using namespace chockside;

class TestWords : public QObject {
    Q_OBJECT
private slots:
    void every_code_stands_once()
    {
        std::set<std::string> seen;
        for (const std::string& code : words::codes()) QVERIFY2(seen.insert(code).second, code.c_str());
    }

    void every_code_has_a_sentence()
    {
        for (const std::string& code : words::codes()) {
            const std::string message = words::of({code, "here", {}}).message;
            QVERIFY2(!message.empty() && message != code, code.c_str());
        }
    }

    // Every mistake that tests/data/profile/invalid shows is said in words, with what to do about it.
    void every_mistake_of_a_profile_has_a_mend()
    {
        int files = 0;
        const QDir folder(CHOCKSIDE_SOURCE_DIR "/tests/data/profile/invalid");
        for (const QString& name : folder.entryList({"*.expect"})) {
            QFile file(folder.filePath(name));
            QVERIFY(file.open(QIODevice::ReadOnly));
            const std::string code = file.readAll().split('\t').value(1).toStdString();
            const words::Words w = words::of({code, "here", {}});
            QVERIFY2(w.message != code && !w.mend.empty(), code.c_str());
            ++files;
        }
        QVERIFY(files > 50);
    }

    void what_screens_show_has_words_data()
    {
        QTest::addColumn<QByteArray>("code");
        for (const char* code : {"plug_fed", "not_dead", "plug_open", "cover_on", "tripped_is_evidence", "need", "open_items", "owed_open", "unsigned", "second_person", "person_unsigned", "copied", "restored", "not_verified", "exists", "wrong_pin", "pin_wait", "pin_short", "bad_name", "person_known", "no_memory", "session_refused", "no_answer",
                 "port_not_found", "port_no_permission", "port_busy", "disk_full", "locked", "too_little_seen", "prompt_changed", "newer_schema", "older_schema", "damaged", "entry_malformed",
                 "entry_refused", "own_key_reused", "bad_key", "usage", "unknown_complaint", "splits", "same_panel", "late"})
            QTest::newRow(code) << QByteArray(code);
    }

    void what_screens_show_has_words()
    {
        QFETCH(QByteArray, code);
        const auto all = words::codes();
        QVERIFY(std::find(all.begin(), all.end(), code.toStdString()) != all.end());
    }

    void arguments_are_filled_in()
    {
        QCOMPARE(words::line({"plug_fed", "", {{"of", "P9"}, {"breakers", "REF 1"}}}), std::string("P9 is still fed. Pull REF 1 first."));
        QCOMPARE(words::line({"no_such_code", "there", {{"why", "so"}}}), std::string("no_such_code (there), why so"));
    }
};

CHOCKSIDE_TEST(TestWords)
#include "tst_words.moc"
