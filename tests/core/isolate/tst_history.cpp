// Earlier jobs as evidence, with published values for the counts.
#include <core/isolate/history.h>
#include <tests/core/isolate/small_aircraft.h>
#include <tests/support/test_main.h>

#include <cmath>

using namespace chockside;
using namespace chockside::isolate;

namespace {

PastJob job(const std::string& id, const std::string& tail, const std::string& serial, const std::string& complaint, double hours_ago)
{
    PastJob j;
    j.id = id;
    j.tail = tail;
    j.unit_serial = serial;
    j.complaint = complaint;
    j.hours_ago = hours_ago;
    return j;
}

} // namespace

class TestHistory : public QObject {
    Q_OBJECT

private slots:
    // Poisson 95 % limits for 3 events: 0.6187 to 8.7673 (Garwood 1936; reprinted in most tables of Poisson confidence limits).
    void a_rate_carries_its_exact_interval()
    {
        std::vector<PastJob> all{job("1", "Q4-RMP", "S1", "heading_flag", 900), job("2", "Q4-RMP", "S1", "heading_flag", 500), job("3", "Q4-RMP", "S1", "heading_flag", 20), job("4", "Q4-RMP", "S1", "attitude_flag", 10)};
        const auto h = history(all, "Q4-RMP", "S1", "heading_flag", {1000, 1000});
        QVERIFY(h);
        QCOMPARE(h->tail.events, 3);
        QVERIFY(std::abs(h->tail.per_1000_h - 3) < 1e-12);
        QVERIFY(std::abs(h->tail.per_1000_h_95.lower - 0.6187) < 5e-5);
        QVERIFY(std::abs(h->tail.per_1000_h_95.upper - 8.7673) < 5e-5);
        QCOMPARE(h->serial.events, 0);
        QCOMPARE(h->jobs.size(), std::size_t{3});
        QVERIFY(!history(all, "Q4-RMP", "S1", "heading_flag", {0, 1000}));
    }

    // Fisher's tea tasting, three of four cups right (The Design of Experiments, 1935): 17/70 = 0.242857.
    void following_a_serial_is_judged_exactly()
    {
        std::vector<PastJob> all;
        for (int i = 0; i < 3; ++i) all.push_back(job("a", "T" + std::to_string(i), "S1", "heading_flag", 1));
        all.push_back(job("b", "T1", "S1", "other", 1));
        all.push_back(job("c", "T2", "S2", "heading_flag", 1));
        for (int i = 0; i < 3; ++i) all.push_back(job("d", "T3", "S2", "other", 1));
        const auto h = history(all, "T9", "S1", "heading_flag", {100, 100});
        QVERIFY(h && std::abs(h->follows_serial_p - 17.0 / 70) < 1e-12);
    }

    void a_rogue_is_a_serial_that_passes_the_bench_from_two_tails()
    {
        std::vector<PastJob> all{job("1", "T1", "S1", "heading_flag", 300), job("2", "T2", "S1", "heading_flag", 200)};
        all[0].unit_removed = true;
        QVERIFY(!history(all, "T3", "S1", "heading_flag", {100, 100})->rogue);
        all[1].unit_removed = true;
        const auto h = history(all, "T3", "S1", "heading_flag", {100, 100});
        QVERIFY(h->rogue);
        QCOMPARE(h->removed_no_fault_found, 2);
        all[1].bench_found_fault = true;
        QVERIFY(!history(all, "T3", "S1", "heading_flag", {100, 100})->rogue);
    }

    void what_comes_back_after_a_unit_was_changed_is_said_so()
    {
        Model m = tests::small_aircraft();
        m.checks.push_back(tests::asked("tail_history", {"same_after_unit_change", "same_before", "first_time"}, std::vector<std::vector<double>>(9, {.1, .2, .7})));
        m.checks.push_back(tests::asked("serial_history", {"repeats_elsewhere", "none"}, std::vector<std::vector<double>>(9, {.1, .9})));
        std::vector<PastJob> all{job("1", "T1", "S1", "heading_flag", 300)};
        const auto said = [&] { return history_evidence(m, *history(all, "T1", "S2", "heading_flag", {100, 100}), "tail_history", "serial_history"); };
        QCOMPARE(said().at(0).outcome, std::string("same_before"));
        all[0].unit_removed = true;
        QCOMPARE(said().at(0).outcome, std::string("same_after_unit_change"));
        QCOMPARE(said().at(1).outcome, std::string("none"));
        all.clear();
        QCOMPARE(said().at(0).outcome, std::string("first_time"));
    }

    void recent_work_raises_the_causes_at_its_place()
    {
        Model m = tests::small_aircraft();
        const double before = m.causes[2].prior, elsewhere = m.causes[4].prior;
        raise_places(m, std::vector<std::string>{"p9"}, 5);
        QCOMPARE(m.causes[2].prior, 5 * before);
        QCOMPARE(m.causes[4].prior, elsewhere);
    }

    // No event in three mean intervals: e^-3 = 0.0498 (tables of the Poisson distribution, mean 3); upper bound after none is 2.9957 / t at 95 %.
    void fixed_means_three_mean_intervals_without_it()
    {
        const auto p = proof_of_fix(2, 1.5, 0);
        QVERIFY(p && p->fixed);
        QCOMPARE(p->time, 1.5);
        QVERIFY(std::abs((1 - p->confidence) - 0.0498) < 5e-5);
        QVERIFY(std::abs(p->upper_rate - 2.9957 / 1.5) < 5e-5);
        QVERIFY(!proof_of_fix(2, 1.4, 0)->fixed);
        QVERIFY(!proof_of_fix(2, 5, 1)->fixed);
        QVERIFY(!proof_of_fix(0, 1, 0) && !proof_of_fix(1, 0, 0));
    }
};

CHOCKSIDE_TEST(TestHistory)
#include "tst_history.moc"
