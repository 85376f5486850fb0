#include <platform/cli/job_commands.h>

#include <core/journal/store.h>
#include <platform/system/system.h>
#include <tests/support/test_main.h>

#include <QFile>
#include <QProcess>
#include <QTemporaryDir>

#include <sstream>

using namespace chockside;

namespace {

struct Answer {
    int code = 0;
    json::Value out, error;
};

Answer ask(int (*command)(const cli::JobOptions&, std::ostream&, std::ostream&), cli::JobOptions o)
{
    o.json = true;
    std::ostringstream out, error;
    Answer a;
    a.code = command(o, out, error);
    if (auto v = json::read(out.str())) a.out = *v;
    if (auto v = json::read(error.str())) a.error = *v;
    return a;
}

} // namespace

// Fields and exit codes that others may rely on: 0 done, 1 the answer is no, 2 usage, 3 input or device error.
class TestJobCommands : public QObject {
    Q_OBJECT

    QTemporaryDir dir_;
    std::string folder() const { return dir_.path().toStdString() + "/store"; }
    std::string file(const char* name) const { return dir_.path().toStdString() + "/" + name; }

private slots:
    void initTestCase()
    {
        QTest::failOnWarning(QRegularExpression(".*"));
        system::SystemDisk disk;
        system::SystemClock clock;
        trust::SystemRandom random;
        auto store = journal::Store::open(disk, clock, random, {folder(), false, 0});
        QVERIFY(store);
        for (int i = 0; i < 3; ++i) {
            journal::Draft d;
            d.kind = "found";
            d.person = "ab";
            d.body = json::Object{{"text", "reading " + std::to_string(i)}};
            QVERIFY((*store)->append("job-1", std::to_string(i), std::span(&d, 1), journal::JobRow{"job-1", "heading wanders", "Q4-RMP", "isolate", 1000, 2000, i + 1, true}));
        }
    }

    void a_backup_is_a_store_that_verifies()
    {
        cli::JobOptions o{folder()};
        QCOMPARE(ask(cli::job_backup, o).code, 2);
        o.to = file("backup");
        const Answer a = ask(cli::job_backup, o);
        QCOMPARE(a.code, 0);
        QCOMPARE(a.out["entries"].as_int(), std::int64_t(3));
        QCOMPARE(ask(cli::job_verify, {file("backup")}).code, 0);
    }

    void a_salvage_says_what_it_kept()
    {
        cli::JobOptions o{folder()};
        o.to = file("saved");
        const Answer a = ask(cli::job_salvage, o);
        QCOMPARE(a.code, 0);
        QCOMPARE(a.out["kept"].as_int(), std::int64_t(3));
        QVERIFY(a.out["broken"].as_array().empty());
        QVERIFY(a.out["lost"].as_array().empty());
        QCOMPARE(ask(cli::job_salvage, o).error["code"].as_text(), std::string("exists"));
        o.folder = file("nothing");
        o.to = file("saved too");
        QCOMPARE(ask(cli::job_salvage, o).code, 3);
    }

    void list_gives_the_rows()
    {
        const auto a = ask(cli::job_list, {.folder = folder()});
        QCOMPARE(a.code, 0);
        const auto& row = a.out["jobs"].as_array().at(0);
        QCOMPARE(row["job"].as_text(), std::string("job-1"));
        QCOMPARE(row["tail"].as_text(), std::string("Q4-RMP"));
        QCOMPARE(row["entries"].as_int(), std::int64_t(3));
        QVERIFY(row["practice"].as_bool());
        QCOMPARE(ask(cli::job_list, {.folder = folder(), .search = "nothing like it"}).out["jobs"].as_array().size(), std::size_t(0));
    }

    void show_gives_the_entries_in_order()
    {
        const auto a = ask(cli::job_show, {.folder = folder(), .job = "job-1"});
        QCOMPARE(a.code, 0);
        const auto& entries = a.out["entries"].as_array();
        QCOMPARE(entries.size(), std::size_t(3));
        QCOMPARE(entries[2]["body"]["text"].as_text(), std::string("reading 2"));
        QCOMPARE(entries[2]["seq"].as_int(), std::int64_t(3));
        const auto none = ask(cli::job_show, {.folder = folder(), .job = "job-9"});
        QCOMPARE(none.code, 1);
        QCOMPARE(none.error["code"].as_text(), std::string("not_found"));
        QVERIFY(none.error.has("place") && none.error.has("message") && none.error.has("mend"));
        QCOMPARE(ask(cli::job_show, {.folder = folder()}).code, 2);
    }

    void verify_says_what_stands()
    {
        const auto a = ask(cli::job_verify, {.folder = folder()});
        QCOMPARE(a.code, 0);
        QCOMPARE(a.out["entries"].as_int(), std::int64_t(3));
        QVERIFY(a.out["ok"].as_bool());
        QVERIFY(a.out["first_bad"].is_null());
        QCOMPARE(ask(cli::job_verify, {.folder = dir_.path().toStdString() + "/nowhere"}).code, 3);
    }

    void an_export_goes_out_verifies_and_comes_in()
    {
        QCOMPARE(ask(cli::job_export, {.folder = folder(), .job = "job-1", .file = file("job.jsonl")}).code, 0);
        QCOMPARE(ask(cli::job_verify, {.file = file("job.jsonl")}).code, 0);
        const std::string other = dir_.path().toStdString() + "/other";
        const auto in = ask(cli::job_import, {.folder = other, .file = file("job.jsonl")});
        QCOMPARE(in.code, 0);
        QCOMPARE(in.out["added"].as_int(), std::int64_t(3));
        QCOMPARE(ask(cli::job_import, {.folder = other, .file = file("job.jsonl")}).out["already"].as_int(), std::int64_t(3));
        QCOMPARE(ask(cli::job_export, {.folder = folder(), .job = "job-9"}).code, 1);
    }

    void a_changed_export_is_told_by_place_and_reason()
    {
        std::ostringstream out, error;
        QCOMPARE(cli::job_export({.folder = folder(), .job = "job-1"}, out, error), 0);
        QByteArray text = QByteArray::fromStdString(out.str());
        QVERIFY(text.contains("reading 1"));
        text.replace("reading 1", "reading 7");
        QFile bad(QString::fromStdString(file("bad.jsonl")));
        QVERIFY(bad.open(QIODevice::WriteOnly));
        bad.write(text);
        bad.close();
        const auto a = ask(cli::job_verify, {.file = file("bad.jsonl")});
        QCOMPARE(a.code, 1);
        QVERIFY(!a.out["ok"].as_bool(true));
        QCOMPARE(a.out["first_bad"]["seq"].as_int(), std::int64_t(2));
        QCOMPARE(a.out["first_bad"]["reason"].as_text(), std::string("body"));
        for (const std::string& into : {folder(), file("third")}) {
            const auto refused = ask(cli::job_import, {.folder = into, .file = file("bad.jsonl")});
            QCOMPARE(refused.code, 1);
            QCOMPARE(refused.error["code"].as_text(), std::string("entry_refused"));
        }
        QCOMPARE(ask(cli::job_import, {.folder = folder(), .file = file("missing")}).code, 3);
    }

    void a_bad_export_leaves_no_new_store_behind()
    {
        for (const char* text : {"nothing of ours\n", "{\"format\":\"another/1\"}\n"}) {
            QFile bad(QString::fromStdString(file("other.jsonl")));
            QVERIFY(bad.open(QIODevice::WriteOnly | QIODevice::Truncate));
            bad.write(text);
            bad.close();
            const auto a = ask(cli::job_import, {.folder = file("fourth"), .file = file("other.jsonl")});
            QCOMPARE(a.code, 3);
            QCOMPARE(a.error["code"].as_text(), std::string("entry_malformed"));
        }
        for (const char* store : {"third", "fourth"}) QVERIFY(!QFile::exists(QString::fromStdString(file(store))));
    }

    void what_was_not_given_is_named()
    {
        const auto a = ask(cli::job_import, {.folder = folder()});
        QCOMPARE(a.code, 2);
        QVERIFY(a.error["message"].as_text().find("--file") != std::string::npos);
    }

    void a_rehearsal_without_a_store_ends_and_says_why()
    {
        QVERIFY(QFile(QString::fromStdString(file("none"))).open(QIODevice::WriteOnly)); // a file, where a folder is wanted
        QProcess command;
        command.start(CHOCKSIDE_BIN_DIR "/chockside-cli", {"rehearse", "--out", QString::fromStdString(file("none"))});
        QVERIFY(command.waitForFinished(30'000));
        QCOMPARE(command.exitCode(), 3);
        QVERIFY(!command.readAllStandardError().isEmpty());
    }
};

CHOCKSIDE_TEST(TestJobCommands)
#include "tst_job_commands.moc"
