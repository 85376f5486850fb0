// Gates, next checks, and whole jobs drawn from a truth that the model does not know. Common practice, no source.
#include "small_aircraft.h"
#include <core/base/random.h>
#include <tests/support/test_main.h>

#include <algorithm>
#include <cmath>

using namespace chockside;
using namespace chockside::isolate;
using namespace chockside::tests;

namespace {

Situation on_the_ramp()
{
    Situation s;
    s.power_on = s.warm = true;
    s.people = 2;
    return s;
}

const Costs costs{600, 900, 0, 60};

std::vector<Gate> gates()
{
    Gate supply{"G1", {}, {}, {{"volts", {24, 30}}}, false, {"unit"}};
    Gate hard{"G3", {}, {{"code", {"each"}}}, {}, false, {"unit"}};
    Gate long_watch{"G8", {"history"}, {{"flag", {"steady"}}}, {}, false, {"none"}};
    return {supply, hard, long_watch};
}

Evidence measured(const std::string& check, double number)
{
    return {check, check, "", number, Presence::showing, {}};
}

const NextCheck* find(const std::vector<NextCheck>& all, const std::string& check)
{
    const auto at = std::find_if(all.begin(), all.end(), [&](const auto& n) { return n.check == check; });
    return at == all.end() ? nullptr : &*at;
}

/// What a fault does to each check, written without a look at the model: the chance of the first outcome, and the volts.
struct Truth {
    const char* cause;
    const char* cause_class;
    std::map<std::string, double> first;
    double volts;
};

const std::vector<Truth>& truths()
{
    static const std::vector<Truth> all{
        {"unit", "unit", {{"flag", .95}, {"code", .97}, {"history", .4}}, 27.4}, {"sensor", "sensor", {{"flag", .9}, {"winding", .95}, {"history", .9}}, 27.6},
        {"wet_plug", "contact", {{"flag", .7}, {"look", .95}, {"history", .95}, {"flex", .05}}, 27.5}, {"loose_pin", "contact", {{"flag", .6}, {"flex", .85}, {"history", .9}}, 27.5},
        {"feed", "supply", {{"flag", .5}, {"history", .05}}, 21.9}, {"data", "configuration", {{"tail", .98}}, 27.5}, {"none", "none", {}, 27.5}};
    return all;
}

Evidence sample(const Truth& truth, const Check& check, SeededRandom& random)
{
    if (check.outcomes.empty()) return measured(check.id, truth.volts + random.normal(0, 0.3));
    const auto at = truth.first.find(check.id);
    const bool abnormal = random.uniform() < (at == truth.first.end() ? 0.02 : at->second);
    return answer(check.id, abnormal ? check.outcomes.front() : check.outcomes.back());
}

/// One job: the next check as advised, until the likelihood is there or nothing is left.
Advice job(const Model& model, const Truth& truth, SeededRandom& random, int& checks)
{
    std::vector<Evidence> evidence;
    Situation now = on_the_ramp();
    Advice advice;
    for (checks = 0; checks < 20; ++checks) {
        advice = advise(model, *posterior(model, evidence), evidence, {}, 0.9);
        if (advice.kind != AdviceKind::gather) return advice;
        const auto next = next_checks(model, evidence, now, costs, Presence::showing, 1);
        if (next.empty()) return advice;
        const auto check = std::find_if(model.checks.begin(), model.checks.end(), [&](const auto& c) { return c.id == next.front().check; });
        evidence.push_back(sample(truth, *check, random));
        now.answered.insert(check->id);
        if (!check->panel.empty()) now.open_panels.insert(check->panel);
    }
    return advice;
}

} // namespace

class TestAdvice : public QObject {
    Q_OBJECT

private slots:
    void a_unit_is_not_offered_before_its_gates()
    {
        const Model m = small_aircraft();
        std::vector<Evidence> e{answer("code", "each"), answer("flag", "flag"), answer("tail", "right"), answer("winding", "equal"), answer("look", "dry")};
        Advice a = advise(m, *posterior(m, e), e, gates(), 0.9);
        QVERIFY(a.p >= 0.9);
        QCOMPARE(a.cause_class, std::string("unit"));
        QCOMPARE(a.kind, AdviceKind::gather);
        QVERIFY(!a.removal_offered);
        QCOMPARE(a.missing_gates, (std::vector<std::string>{"G1"}));
        QCOMPARE(a.gates.front().missing, (std::vector<std::string>{"volts"}));
        e.push_back(measured("volts", 27.5));
        a = advise(m, *posterior(m, e), e, gates(), 0.9);
        QCOMPARE(a.kind, AdviceKind::isolated);
        QVERIFY(a.removal_offered);
    }

    void a_gate_answered_otherwise_is_not_proven()
    {
        const Model m = small_aircraft();
        std::vector<Evidence> e{answer("code", "each"), answer("flag", "flag"), answer("tail", "right"), answer("winding", "equal"), answer("look", "dry"), measured("volts", 27.5)};
        std::vector<Gate> strict = gates();
        strict[0].within["volts"] = {28, 30};
        const Advice a = advise(m, *posterior(m, e), e, strict, 0.9);
        QCOMPARE(a.kind, AdviceKind::not_proven);
        QVERIFY(!a.removal_offered);
        QVERIFY(a.gates.front().missing.empty());
    }

    void one_row_is_enough_where_the_gate_says_any()
    {
        const Model m = small_aircraft();
        const std::vector<Evidence> e{answer("code", "never"), measured("volts", 27.5)};
        Gate any{"G3", {}, {{"code", {"each"}}}, {{"volts", {24, 30}}}, true, {"none", "unit", "contact", "wiring", "sensor", "supply", "configuration", "unlisted"}};
        const Advice a = advise(m, *posterior(m, e), e, std::vector{any}, 0.9);
        QVERIFY(a.gates.front().met);
        any.any = false;
        const Advice all = advise(m, *posterior(m, e), e, std::vector{any}, 0.9);
        QVERIFY(!all.gates.front().met);
    }

    void the_price_of_a_check_is_its_own_minutes_access_and_power()
    {
        Model m = small_aircraft();
        m.checks[6].needs_power_off = true;
        Situation s = on_the_ramp();
        const auto closed = next_checks(m, {}, s, costs, Presence::showing, 20);
        const NextCheck* n = find(closed, "volts");
        QVERIFY(n);
        QCOMPARE(n->own_minutes, 15.0);
        QCOMPARE(n->access_minutes, 10.0);
        QCOMPARE(n->power_minutes, 13.0); // 5 down, 8 up again
        QCOMPARE(n->warm_minutes, 3.0);
        QCOMPARE(n->minutes, 41.0);
        s.open_panels.insert("rack");
        const auto open = next_checks(m, {}, s, costs, Presence::showing, 20);
        QCOMPARE(find(open, "volts")->access_minutes, 0.0);
        QVERIFY(find(open, "volts")->worth > n->worth);
    }

    void what_cannot_be_done_now_is_left_out()
    {
        Model m = small_aircraft();
        m.checks[4].automatic = true;
        Situation s = on_the_ramp();
        s.people = 1;
        s.answered = {"look"};
        const auto next = next_checks(m, {}, s, costs, Presence::showing, 20);
        QVERIFY(!find(next, "tail") && !find(next, "flex") && !find(next, "look"));
        QCOMPARE(next.size(), std::size_t{5});
        for (std::size_t i = 1; i < next.size(); ++i) QVERIFY(next[i - 1].worth >= next[i].worth);
    }

    void a_check_that_ends_too_late_is_worth_less()
    {
        Situation s = on_the_ramp();
        const double in_time = find(next_checks(small_aircraft(), {}, s, costs, Presence::showing, 20), "look")->worth;
        s.minutes_left = 20;
        const auto late = next_checks(small_aircraft(), {}, s, costs, Presence::showing, 20);
        QVERIFY(find(late, "look")->worth < in_time);
        QCOMPARE(find(late, "look")->why, std::string("late"));
    }

    void a_check_that_tells_nothing_is_worth_nothing()
    {
        Model m = small_aircraft();
        for (auto& row : m.checks[4].given) row.outcomes = {.3, .7};
        const auto next = next_checks(m, {}, on_the_ramp(), costs, Presence::showing, 20);
        QVERIFY(std::abs(find(next, "tail")->worth) < 1e-9);
    }

    void jobs_drawn_from_a_truth_end_right()
    {
        const Model m = small_aircraft();
        SeededRandom random(77);
        int right = 0, wrong = 0, wrong_removals = 0, all = 0;
        std::map<std::string, int> right_by;
        for (int round = 0; round < 60; ++round)
            for (const Truth& truth : truths()) {
                int checks = 0;
                const Advice a = job(m, truth, random, checks);
                const bool said = a.kind == AdviceKind::isolated || a.kind == AdviceKind::none_found;
                ++all;
                right += said && a.cause_class == truth.cause_class;
                right_by[truth.cause] += said && a.cause_class == truth.cause_class;
                wrong += said && a.cause_class != truth.cause_class;
                wrong_removals += a.removal_offered && a.cause_class != truth.cause_class;
            }
        for (const auto& [cause, n] : right_by) qInfo("%s %d of 60", cause.c_str(), n);
        qInfo("right %d, wrong %d, wrong removals %d of %d", right, wrong, wrong_removals, all);
        QVERIFY(right >= all * 85 / 100);
        QVERIFY(wrong <= all * 5 / 100);
        QVERIFY(wrong_removals <= all * 2 / 100);
    }
};

CHOCKSIDE_TEST(TestAdvice)
#include "tst_advice.moc"
