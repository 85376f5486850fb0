// What the lint refuses because isolation could not work with it, and the causes that come from the wiring table.
#include <core/profile/lint.h>
#include <core/profile/rows.h>
#include <tests/support/test_main.h>

#include <algorithm>
#include <cmath>

using namespace chockside::profile;

namespace {

Cause cause(const std::string& id, CauseClass of, const std::string& at = {})
{
    Cause c;
    c.id = id;
    c.cause_class = of;
    c.at = at;
    c.weight = 1;
    return c;
}

Installation sound()
{
    Installation in;
    in.places = {{"p9", "P9", "", "connector"}, {"w7", "W7", "", "segment"}, {"w8", "W8", "", "segment"}};
    in.wires = {{"a", "x", "P9-1", "D3-1", "w7", 22, 6.0, true}, {"b", "x", "D3-1", "J1-1", "w8", 22, 2.0, true}};
    in.causes = {cause("unit", CauseClass::unit), cause("none", CauseClass::none), cause("unlisted", CauseClass::unlisted)};
    WiringCause broken;
    broken.id = "broken";
    broken.at = {"w7", "w8"};
    broken.weight = 4;
    broken.says.by_language["en"] = "Wire broken in {place}";
    in.wiring_causes = {broken};
    add_wiring_causes(in);
    Check look;
    look.id = "look";
    look.outcomes = {"bad", "good"};
    look.given = {{"unit", {0.9, 0.1}, {}}, {"kind:broken", {0.5, 0.5}, {}}, {"*", {0.02, 0.98}, {}}};
    in.checks = {look};
    return in;
}

bool says(const Installation& in, const std::string& code)
{
    const auto all = lint_isolation(in);
    return std::any_of(all.begin(), all.end(), [&](const auto& c) { return c.code == code; });
}

} // namespace

class TestIsolationLint : public QObject {
    Q_OBJECT

private slots:
    void a_sound_installation_is_left_alone() { QVERIFY(lint_isolation(sound()).empty()); }

    // 6 m and 2 m of wire share a weight of 4 as 3 to 1.
    void a_wiring_cause_stands_at_each_of_its_places()
    {
        const Installation in = sound();
        const Cause *w7 = find(in.causes, "broken_w7"), *w8 = find(in.causes, "broken_w8");
        QVERIFY(w7 && w8);
        QCOMPARE(w7->weight, 3.0);
        QCOMPARE(w8->weight, 1.0);
        QCOMPARE(w7->says.in(), std::string("Wire broken in W7"));
        QCOMPARE(row_for(in.checks[0].given, *w7)->of, std::string("kind:broken"));
    }

    void a_cause_that_no_check_sees_is_refused()
    {
        Installation in = sound();
        in.causes.push_back(cause("ghost", CauseClass::display));
        QVERIFY(says(in, "cause_without_check"));
    }

    void an_answer_that_nothing_gives_is_refused()
    {
        Installation in = sound();
        in.checks[0].outcomes.push_back("never");
        for (auto& row : in.checks[0].given) row.outcomes.push_back(0);
        QVERIFY(says(in, "impossible_answer"));
    }

    void what_was_read_as_found_proves_no_repair()
    {
        Installation in = sound();
        in.checks[0].how = Check::How::page;
        QVERIFY(!says(in, "proof_read_once"));
        in.checks[0].proves_fix = true;
        QVERIFY(says(in, "proof_read_once"));
        in.checks[0].proves_fix = false;
        Owed owed;
        owed.id = "read_back", owed.prove = "check:" + in.checks[0].id;
        in.owed = {owed};
        QVERIFY(says(in, "proof_read_once"));
    }

    void a_gate_that_cannot_be_met_is_refused()
    {
        Installation in = sound();
        Gate gate;
        gate.id = "G1";
        gate.within["look"] = {24, 30};
        in.gates = {gate};
        QVERIFY(says(in, "gate_never_met"));
        in.gates[0].within.clear();
        in.gates[0].ways = {{{"look", {"no such answer"}}}};
        QVERIFY(says(in, "no_such_outcome"));
        in.gates[0].ways = {{{"no_such_check", {"bad"}}}};
        QVERIFY(says(in, "dangling_reference"));
    }

    void two_of_one_name_and_rows_of_nothing_are_refused()
    {
        Installation in = sound();
        in.causes.push_back(cause("broken_w7", CauseClass::wiring));
        QVERIFY(says(in, "cause_twice"));
        in = sound();
        in.checks[0].together["unit+nobody"] = {0.5, 0.5};
        QVERIFY(says(in, "row_of_nothing"));
        in.checks[0].together = {{"unit+none", {0.5, 0.6}}};
        QVERIFY(says(in, "row_sum"));
    }
};

CHOCKSIDE_TEST(TestIsolationLint)
#include "tst_isolation_lint.moc"
