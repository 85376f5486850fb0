#include "journal_fixture.h"

#include <tests/support/test_main.h>

using namespace chockside;
using tests::Place;
using tests::put;

namespace {

struct Two {
    Place a, b;
    std::unique_ptr<journal::Store> one, other;
    Two()
    {
        b.random = SeededRandom(2);
        one = a.store();
        other = b.store();
    }
};

} // namespace

class TestLines : public QObject {
    Q_OBJECT

private slots:
    void initTestCase() { QTest::failOnWarning(QRegularExpression(".*")); }

    void a_job_goes_to_another_device_and_back_with_the_same_bytes()
    {
        Two t;
        (void)put(*t.one, "job", "c1");
        (void)put(*t.one, "else", "c2");
        (void)put(*t.one, "job", "c3");
        const auto taken = t.other->import_lines(*t.one->export_job("job"));
        QVERIFY(taken);
        QCOMPARE(taken->added, std::int64_t(2));
        QCOMPARE(*t.other->export_job("job"), *t.one->export_job("job"));
        QVERIFY(t.other->verify()->ok); // number 2 is another job's: a gap of another author is none
        QVERIFY(t.other->verify("job")->ok);
        QCOMPARE((*t.other->jobs())[0].entries, 2);

        const auto reply = *put(*t.other, "job", "d1", "seen it");
        QCOMPARE(reply[0].envelope.seen.at(t.one->author()), std::int64_t(3));
        const auto back = t.one->import_lines(*t.other->export_job("job"));
        QCOMPARE(back->added, std::int64_t(1));
        QCOMPARE(back->already, std::int64_t(2));
        QCOMPARE(t.one->entries("job")->back().hash, reply[0].hash);
        const auto next = *put(*t.one, "job", "c4");
        QCOMPARE(next[0].envelope.seen.at(t.other->author()), std::int64_t(1));
    }

    void jobs_that_alternate_come_in_whole_in_any_order()
    {
        Two t;
        // a a b a b b a: each change begins a run; a job that comes later falls between the entries of the one that came first.
        const std::string jobs = "aabaabba";
        for (std::size_t i = 0; i < jobs.size(); ++i) QVERIFY(put(*t.one, std::string(1, jobs[i]), "c" + std::to_string(i)));
        for (const char* order : {"ab", "ba"}) {
            Place place;
            place.random = SeededRandom(7);
            auto store = place.store();
            for (const char* job = order; *job; ++job) QVERIFY(store->import_lines(*t.one->export_job(std::string(1, *job))));
            for (const char* job : {"a", "b"}) {
                QCOMPARE(*store->export_job(job), *t.one->export_job(job));
                QVERIFY(store->verify(job)->ok);
            }
            QVERIFY(store->verify()->ok);
            const auto rows = *store->jobs();
            QCOMPARE(rows.size(), std::size_t(2)); // the second came in below what was counted already
            for (const auto& row : rows) QCOMPARE(row.entries, row.job == "a" ? 5 : 3);
        }
    }

    void a_repeated_import_adds_nothing()
    {
        Two t;
        (void)put(*t.one, "job", "c1");
        const std::string lines = *t.one->export_job("job");
        QVERIFY(t.other->import_lines(lines));
        QCOMPARE(t.other->import_lines(lines)->added, std::int64_t(0));
        QCOMPARE(t.other->entries("job")->size(), std::size_t(1));
    }

    void a_damaged_export_is_refused_whole()
    {
        Two t;
        (void)put(*t.one, "job", "c1", "first text");
        (void)put(*t.one, "job", "c2", "second text");
        std::string lines = *t.one->export_job("job");
        lines.replace(lines.find("second text"), 6, "other_");
        const auto taken = t.other->import_lines(lines);
        QVERIFY(!taken);
        QCOMPARE(taken.error().code, std::string("entry_refused"));
        QCOMPARE(taken.error().args.front().second, std::string("body"));
        QVERIFY(t.other->entries("job")->empty());
    }

    // A cloned device: the same key, another history.
    void a_fork_is_refused_and_never_merged()
    {
        Two t;
        Place clone;
        (void)put(*t.one, "job", "c1");
        QVERIFY(clone.disk.make_folder(clone.folder()));
        QVERIFY(clone.disk.write_whole(clone.file("device.key"), *t.a.disk.read(t.a.file("device.key"), 64)));
        clone.random = SeededRandom(9);
        auto cloned = clone.store();
        (void)put(*cloned, "job", "x1", "something else");
        (void)put(*cloned, "job", "x2", "and more");
        QVERIFY(t.other->import_lines(*t.one->export_job("job")));
        QCOMPARE(t.other->import_lines(*cloned->export_job("job")).error().code, std::string("fork"));
        QCOMPARE(t.other->entries("job")->size(), std::size_t(1));
        QCOMPARE(t.one->import_lines(*cloned->export_job("job")).error().code, std::string("fork"));
    }

    // A restored device must start a new key; it never takes its own lost entries as if it had written them now.
    void entries_under_the_own_key_that_were_never_written_here_are_refused()
    {
        Two t;
        (void)put(*t.one, "job", "c1");
        Place restored;
        QVERIFY(restored.disk.make_folder(restored.folder()));
        QVERIFY(restored.disk.write_whole(restored.file("device.key"), *t.a.disk.read(t.a.file("device.key"), 64)));
        auto again = restored.store();
        QCOMPARE(again->import_lines(*t.one->export_job("job")).error().code, std::string("own_key_reused"));
    }

    void a_withheld_body_travels_and_verifies()
    {
        Two t;
        (void)put(*t.one, "job", "c1");
        const std::string lines = *t.one->export_job("job");
        const auto end = lines.find('\n');
        auto v = *json::read(std::string_view(lines).substr(end + 1, lines.size() - end - 2));
        v.at("body") = "";
        v.at("salt") = "";
        QVERIFY(t.other->import_lines(lines.substr(0, end + 1) + json::write(v) + "\n"));
        const auto report = t.other->verify();
        QVERIFY(report->ok);
        QCOMPARE(report->withheld, std::int64_t(1));
    }

    void a_job_that_is_not_here_can_not_be_exported()
    {
        Two t;
        QCOMPARE(t.one->export_job("nothing").error().code, std::string("not_found"));
    }
};

CHOCKSIDE_TEST(TestLines)
#include "tst_lines.moc"
