#include <core/fleet/fleet.h>

#include <tests/support/test_main.h>

#include <cmath>

using namespace chockside;
using namespace chockside::fleet;

namespace {

constexpr std::int64_t day = 86'400'000;

JobFacts job_on(const std::string& name, const std::string& tail, std::int64_t day_no, bool closed = true)
{
    JobFacts f;
    f.job = name;
    f.tail = tail;
    f.complaint_kind = "heading_flag";
    f.opened_ms = day_no * day;
    f.last_ms = day_no * day + 3'600'000;
    f.closed = closed;
    return f;
}

} // namespace

class TestFleet : public QObject {
    Q_OBJECT

private slots:
    void initTestCase() { QTest::failOnWarning(QRegularExpression(".*")); }

    void a_unit_that_comes_back_is_seen()
    {
        auto a = job_on("J1", "Q4-RMP", 1), b = job_on("J2", "Q4-TLN", 40), c = job_on("J3", "Q4-RMP", 11), d = job_on("J4", "Q4-WHM", 50);
        a.removed = {{"PRU-2", "S-1", true}};  // and c on the same aircraft ten days later: the fault returned
        b.removed = {{"PRU-2", "S-1", false}}; // cured nothing
        d.removed = {{"PRU-2", "S-2", true}, {"PRU-2", "", true}};
        const auto units = units_back({d, c, b, a}, {{"PRU-2", "S-1", 45 * day, false}, {"PRU-2", "S-2", 55 * day, true}, {"PRU-9", "S-1", 0, false}});
        QCOMPARE(units.size(), std::size_t(2));
        QCOMPARE(units[0].serial, std::string("S-1"));
        QCOMPARE(units[0].removals, 2);
        QCOMPARE(units[0].returned, 1);
        QCOMPARE(units[0].not_cured, 1);
        QCOMPARE(units[0].no_fault_found, 1);
        QCOMPARE(units[0].tails, (std::vector<std::string>{"Q4-RMP", "Q4-TLN"}));
        QVERIFY(units[0].suspect());
        QVERIFY(!units[1].suspect());
    }

    void a_fault_returns_within_its_days_on_its_aircraft_only()
    {
        const std::vector<JobFacts> jobs{job_on("J1", "Q4-RMP", 1), job_on("J2", "Q4-RMP", 31), job_on("J3", "Q4-RMP", 90), job_on("J4", "Q4-TLN", 95), job_on("J5", "Q4-TLN", 2, false)};
        const auto r = rates(jobs, {});
        QVERIFY(r);
        QCOMPARE(r->jobs, 5);
        QCOMPARE(r->fault_returned.of, 1);
        QCOMPARE(r->fault_returned.all, 4);
        QVERIFY(!r->no_fault_found.interval);
        QCOMPARE(r->aircraft[0].tail, std::string("Q4-RMP"));
        QVERIFY(r->aircraft[0].per_30_days->lower < 3 / (r->aircraft[0].days / 30) && 3 / (r->aircraft[0].days / 30) < r->aircraft[0].per_30_days->upper);
    }

    // 0 of 10 at 95 %: upper bound 1 - (0.025)^(1/10) = 0.3085 (closed form of Clopper and Pearson for no successes).
    void shares_have_the_exact_interval()
    {
        std::vector<Bench> bench(10, Bench{"PRU-2", "S", 0, true});
        const auto r = rates({}, bench);
        QVERIFY(r && r->no_fault_found.interval);
        QCOMPARE(r->no_fault_found.interval->lower, 0.0);
        QVERIFY(std::abs(r->no_fault_found.interval->upper - 0.308497) < 1e-5);
        QVERIFY(!rates({}, {}, {1.5, 30, false}));
    }

    void wiring_causes_by_segment_and_aircraft()
    {
        auto a = job_on("J1", "Q4-RMP", 1), b = job_on("J2", "Q4-TLN", 2), c = job_on("J3", "Q4-RMP", 3), d = job_on("J4", "Q4-RMP", 4);
        a.finding_class = b.finding_class = "wiring", a.place = b.place = "w7", a.cause = b.cause = "open_w7";
        c.finding_class = "contact", c.place = "j1", c.cause = "pin_j1";
        d.finding_class = "unit", d.cause = "unit_dead";
        const auto all = wiring_causes({a, b, c, d}, false), each = wiring_causes({a, b, c, d}, true);
        QCOMPARE(all.size(), std::size_t(2));
        QCOMPARE(all[0].place, std::string("w7"));
        QCOMPARE(all[0].jobs, 2);
        QCOMPARE(each.size(), std::size_t(3));
    }

    // Six values: the extremes hold the median with 1 - 2/64 = 96.9 %, the next pair with 1 - 14/64 = 78 %; of five no pair reaches 95 %.
    void time_to_isolate_from_order_statistics()
    {
        std::vector<JobFacts> jobs;
        for (int i = 1; i <= 6; ++i) {
            jobs.push_back(job_on("J" + std::to_string(i), "Q4-RMP", i));
            jobs.back().isolate_ms = i * 10 * 60'000;
        }
        auto t = time_to_isolate(jobs);
        QCOMPARE(t->median_min, 35.0);
        QCOMPARE(t->lower_quartile_min, 22.5);
        QCOMPARE(t->median_interval->lower, 10.0);
        QCOMPARE(t->median_interval->upper, 60.0);
        jobs.pop_back();
        t = time_to_isolate(jobs);
        QCOMPARE(t->median_min, 30.0);
        QVERIFY(!t->median_interval);
        QCOMPARE(time_to_isolate({})->jobs, 0);
    }

    void practice_jobs_do_not_mix()
    {
        auto a = job_on("J1", "Q4-RMP", 1), b = job_on("J2", "Q4-RMP", 2);
        b.practice = true;
        QCOMPARE(rates({a, b}, {})->jobs, 1);
        QCOMPARE(rates({a, b}, {}, {0.95, 30, true})->jobs, 1);
    }

    void facts_are_those_of_the_folded_job()
    {
        profile::Profile p;
        profile::Cause wet;
        wet.id = "wet_p9";
        wet.at = "p9";
        p.installation.causes.push_back(wet);
        job::JobState s;
        s.job = "J1";
        s.tail = "Q4-RMP";
        s.complaint_kind = "heading_flag";
        s.finding_class = "contact";
        s.finding_cause = "wet_p9";
        for (const std::int64_t at : {3 * day, 3 * day + 50'000, 3 * day + 20'000}) { // entries of two tablets may stand out of their clocks' order
            job::Line line;
            line.stamp.wall = at;
            s.lines.push_back(line);
        }
        s.found = s.lines[2].stamp;
        const JobFacts f = facts_of(p, s);
        QCOMPARE(f.place, std::string("p9"));
        QCOMPARE(f.opened_ms, 3 * day);
        QCOMPARE(f.last_ms, 3 * day + 50'000);
        QCOMPARE(*f.isolate_ms, std::int64_t(20'000));
        QVERIFY(!f.closed && f.removed.empty());
        s.closed = true;
        s.lines[1].kind = "closed";
        job::Line bench = s.lines[0]; // a month later the shop writes what its bench saw
        bench.kind = "benched";
        bench.stamp.wall = 40 * day;
        s.lines.push_back(bench);
        QCOMPARE(facts_of(p, s).last_ms, 3 * day + 50'000);
        s.finding_cause = "nobody's";
        s.found.reset();
        QVERIFY(facts_of(p, s).place.empty());
        QVERIFY(!facts_of(p, s).isolate_ms);
    }
};

CHOCKSIDE_TEST(TestFleet)
#include "tst_fleet.moc"
