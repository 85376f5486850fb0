// One table of codes: each once, each with a sentence, arguments filled in; a code without a sentence still says something.

#include <platform/words/table.h>
#include <platform/words/words.h>

#include <tests/support/test_main.h>

#include <QDir>
#include <QDirIterator>
#include <QFile>
#include <QRegularExpression>

#include <algorithm>
#include <set>

using namespace chockside;

class TestWords : public QObject {
    Q_OBJECT

    /// Files whose failures their callers turn into codes of their own, or that speak to the shop's browser with words of their own.
    static bool told_to_nobody(const QString& path)
    {
        static const QStringList starts{"core/stats/", "core/fleet/", "core/units/", "core/codec/detail/write", "core/trust/wrap.cpp", "platform/shop/", "platform/keyring/"};
        return std::any_of(starts.begin(), starts.end(), [&](const QString& start) { return path.startsWith(start); });
    }

    /// What follows a code until its call or braces end.
    static QString rest_of(const QString& text, qsizetype at)
    {
        const qsizetype from = at;
        bool quoted = false;
        for (int depth = 1; at < text.size() && depth > 0; ++at) {
            const QChar c = text[at];
            if (c == '"' && text[at - 1] != '\\') quoted = !quoted;
            if (quoted) continue;
            if (c == '(' || c == '{') ++depth;
            if (c == ')' || c == '}') --depth;
        }
        return text.mid(from, at - from - 1).trimmed();
    }

    static std::set<QString> names_in(const QString& text, const char* pattern)
    {
        std::set<QString> names;
        const QRegularExpression each(pattern);
        for (auto at = each.globalMatch(text); at.hasNext();) names.insert(at.next().captured(1));
        return names;
    }

    static int look_at(const QString& path)
    {
        QFile file(QString(CHOCKSIDE_SOURCE_DIR "/") + path);
        if (!file.open(QIODevice::ReadOnly)) return 0;
        const QString text = QString::fromUtf8(file.readAll());
        static const QRegularExpression call(R"re((?:\bfail\(|\bProblem(?: \w+)?\{)"(\w+)")re");
        int found = 0;
        for (auto at = call.globalMatch(text); at.hasNext(); ++found) {
            const auto match = at.next();
            look_at_one(path.toStdString() + ": " + match.captured(1).toStdString(), match.captured(1).toStdString(), rest_of(text, match.capturedEnd()));
        }
        return found;
    }

    static void look_at_one(const std::string& where, const std::string& code, const QString& rest)
    {
        // Answered by device.cpp itself; the callers of layout() name the frame.
        static const std::set<std::string> inner{"silent", "bad_field", "frame_too_long"};
        if (inner.contains(code)) return;
        QVERIFY2(!rest.startsWith('+'), (where + ": a code that is put together is found by nobody").c_str());
        const auto& rows = words::table();
        const auto row = std::find_if(rows.begin(), rows.end(), [&](const words::Row& r) { return r.code == code; });
        QVERIFY2(row != rows.end(), where.c_str());
        static const QRegularExpression no_place(R"re(^(,\s*(\{\}|"")\s*(,|$)|$))re"), by_name(R"re(^,[^{]*,\s*[^{\s])re");
        if (by_name.match(rest).hasMatch()) return; // arguments that were put together before
        const auto given = names_in(rest, R"re(\{"(\w+)",)re");
        for (const QString& name : names_in(QString::fromStdString(row->message + row->mend), R"re(\{(\w+)\})re"))
            QVERIFY2(name == "place" ? !no_place.match(rest).hasMatch() : given.contains(name), (where + " gives no " + name.toStdString()).c_str());
    }

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

    // Read from the sources, as a list by hand knows only of what somebody thought of.
    void every_code_that_can_be_told_has_a_row_and_its_arguments()
    {
        int found = 0;
        for (const char* room : {"core", "platform", "qml"})
            for (QDirIterator at(QString(CHOCKSIDE_SOURCE_DIR "/") + room, {"*.cpp", "*.h"}, QDir::Files, QDirIterator::Subdirectories); at.hasNext();) {
                const QString path = at.next().mid(QString(CHOCKSIDE_SOURCE_DIR "/").size());
                if (!told_to_nobody(path)) found += look_at(path);
            }
        QVERIFY(found > 300);
    }

    void arguments_are_filled_in()
    {
        QCOMPARE(words::line({"plug_fed", "", {{"of", "P9"}, {"breakers", "REF 1"}}}), std::string("P9 is still fed. Pull REF 1 first."));
        QCOMPARE(words::line({"no_such_code", "there", {{"why", "so"}}}), std::string("no_such_code (there), why so"));
    }
};

CHOCKSIDE_TEST(TestWords)
#include "tst_words.moc"
