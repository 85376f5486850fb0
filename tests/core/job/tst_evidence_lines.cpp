// What stands as evidence was answered before the repair; the same check repeated afterwards is its test, and stands as that.
#include "small_profile.h"

#include <core/job/build_view.h>
#include <core/job/isolate_model.h>
#include <tests/support/test_main.h>

using namespace chockside;
using namespace chockside::tests;

class TestEvidenceLines : public QObject {
    Q_OBJECT

    profile::Profile p_ = small_profile();
    job::JobState s_;
    Pen pen_;

    void write(const std::string& kind, json::Value b) { job::apply(p_, s_, pen_.write(kind, std::move(b))); }
    void answer(const std::string& outcome) { write("answer", body({{"check", "flag_watch"}, {"outcome", outcome}, {"presence", "showing"}})); }
    std::vector<job::EvidenceLine> evidence() const
    {
        job::Context c;
        c.now = {pen_.wall, pen_.mono, pen_.boot};
        return job::build_view(p_, s_, c, job::reason(p_, s_, c)).isolate.evidence;
    }

private slots:
    void init()
    {
        p_ = small_profile();
        s_ = {};
        pen_ = {};
        write("opened", body({{"power", "on"}, {"scale_milli", 1000}, {"complaint_kind", "heading_flag"}}));
        write("did", did_body("fault", "x", "showing"));
        answer("flag");
    }

    void the_repeated_check_does_not_stand_as_evidence()
    {
        const auto before = evidence();
        QCOMPARE(before.size(), std::size_t(1));
        QCOMPARE(before[0].text, std::string("Flag watch: flag"));
        write("finding", body({{"advice", "isolated"}, {"class", "unit"}, {"cause", "unit_ch1"}, {"p", "0.95"}}));
        write("repair", body({{"repair", "replace_unit"}}));
        answer("steady");
        QVERIFY(s_.answer_after_repair("flag_watch"));
        const auto after = evidence();
        QCOMPARE(after.size(), std::size_t(1));
        QCOMPARE(after[0].text, std::string("Flag watch: flag"));
        QCOMPARE(after[0].factor, before[0].factor);
    }

    /// What misleads with no flag is not closed by a flag that stays away.
    void a_gate_of_one_complaint_stands_for_that_alone()
    {
        profile::Gate quiet, agrees;
        quiet.id = "G8", quiet.before = {"none"}, quiet.is = {{"flag_watch", {"steady"}}};
        agrees.id = "G8_heading", agrees.before = {"none"}, agrees.is = {{"side_by_side", {"agree"}}}, agrees.complaints = {"heading_error"};
        p_.installation.gates = {quiet, agrees};
        const auto ids = [this](const char* complaint) {
            std::string all;
            for (const auto& gate : job::isolate_gates(p_, complaint)) all += gate.id + " ";
            return all;
        };
        QCOMPARE(ids("heading_flag"), std::string("G8 "));
        QCOMPARE(ids("heading_error"), std::string("G8 G8_heading "));
    }

    void what_leads_is_what_the_advice_says()
    {
        // Two units of one place are one remedy: each hypothesis alone stands lower than both, and lower than a cause of another class.
        auto& causes = p_.installation.causes;
        causes[0].weight = 30, causes[0].at = "rack", causes[1].weight = 30;
        profile::Cause second = causes[0], sensor = causes[0];
        second.id = "unit_ch2", second.says = en("PRU-2 channel 2");
        sensor.id = "sensor", sensor.cause_class = profile::CauseClass::sensor, sensor.says = en("Flux sensor"), sensor.weight = 35, sensor.at = "wing";
        causes.push_back(second);
        causes.push_back(sensor);
        p_.installation.checks[0].given = {{"none", {0.05, 0.95}, {}}, {"*", {0.95, 0.05}, {}}};
        job::Context c;
        c.now = {pen_.wall, pen_.mono, pen_.boot};
        const auto r = job::reason(p_, s_, c);
        QVERIFY(r.known);
        QCOMPARE(r.posterior.likelihood.front().causes.front(), std::string("sensor"));
        QCOMPARE(r.advice.cause_class, std::string("unit"));
        const auto v = job::build_view(p_, s_, c, r).isolate;
        QCOMPARE(v.leading_class, std::string("unit"));
        QCOMPARE(v.leading_p, r.advice.p);
        QVERIFY(v.leading.starts_with("PRU-2"));
        QCOMPARE(v.evidence.size(), std::size_t(1));
    }

    void of_a_check_that_was_looked_at_twice_the_latest_stands()
    {
        answer("steady");
        const auto lines = evidence();
        QCOMPARE(lines.size(), std::size_t(1));
        QCOMPARE(lines[0].text, std::string("Flag watch: steady"));
    }
};

CHOCKSIDE_TEST(TestEvidenceLines)
#include "tst_evidence_lines.moc"
