// Every repair of every bundled profile, prompt by prompt: each step is recorded as what it is.
#include "bundled.h"

#include <tests/support/test_main.h>

#include <algorithm>
#include <set>

using namespace chockside;
using namespace chockside::tests;
using profile::StepKind;

namespace {

std::string plain_id(const std::string& reference) { return reference.substr(reference.find(':') + 1); }

struct Written {
    std::string step, verb, of, to;
};

} // namespace

class TestRepairs : public QObject, BundledWork {
    Q_OBJECT

    std::vector<job::Prompt> asked_;
    std::vector<Written> written_;

    /// Works the repair of a cause; empty where it came to its end.
    std::string work(const std::string& cause)
    {
        asked_.clear();
        written_.clear();
        find(cause);
        while (job::stage_of_state(p_, s_) == job::Stage::put_right) {
            const job::Prompt q = next();
            if (asked_.size() > 60) return "no end at " + q.id;
            if (!q.ready) return "waits at " + q.id;
            asked_.push_back(q);
            written_.push_back({q.args["step"].as_text(), q.args["verb"].as_text(), q.args["of"].as_text(), q.args["to"].as_text()});
            if (const auto pressed = press(q); pressed != "ok") return pressed;
            if (q.verb == "power" && q.to == "on") lit();
        }
        return {};
    }

    std::size_t at(const std::string& verb, const std::string& of, const std::string& to) const
    {
        const auto found = std::find_if(written_.begin(), written_.end(), [&](const Written& w) { return w.verb == verb && w.of == of && w.to == to; });
        return static_cast<std::size_t>(found - written_.begin());
    }

    template <class Look>
    void each_repair(Look look)
    {
        for (const char* id : bundled_ids) {
            const profile::Profile p = bundled(id);
            QVERIFY2(!p.installation.repairs.empty(), id);
            std::set<std::string> seen;
            for (const auto& cause : p.installation.causes) {
                const auto* repair = profile::find(p.installation.repairs, cause.repair);
                if (!repair || !seen.insert(repair->id).second) continue;
                ready(p);
                const std::string stuck = work(cause.id), where = std::string(id) + " " + repair->id;
                QVERIFY2(stuck.empty(), (where + ": " + stuck).c_str());
                look(*repair, where);
                if (QTest::currentTestFailed()) return;
            }
            QVERIFY(!seen.empty());
        }
    }

private slots:
    void a_plug_is_proved_dead_and_then_taken_off()
    {
        ready(bundled("sandgrouse_12_ramp"));
        const auto& causes = p_.installation.causes;
        const auto wet = std::find_if(causes.begin(), causes.end(), [](const auto& c) { return c.repair == "dry_p9"; });
        QCOMPARE(work(wet->id), std::string());
        const std::size_t dead = at("dead", "p9", "yes"), off = at("plug", "p9", "disconnected"), on = at("plug", "p9", "connected");
        QVERIFY(dead < off && off < on && on < written_.size());
        QVERIFY(written_[dead].step.empty());
        QVERIFY(asked_[dead].say.find("dead") != std::string::npos);
        QCOMPARE(written_[off].step, std::string("dry_p9_2"));
        QCOMPARE(asked_[off].say, std::string("Take plug P9 off."));
        QVERIFY(on < at("breaker", "ref_1", "in"));
        QVERIFY(s_.plugs.at("p9").certainly("connected"));
    }

    void a_feed_is_not_pushed_in_with_the_plug_off()
    {
        ready(bundled("sandgrouse_12_ramp"));
        find(std::find_if(p_.installation.causes.begin(), p_.installation.causes.end(), [](const auto& c) { return c.repair == "dry_p9"; })->id);
        while (next().args["step"].as_text() != "do_dry_p9") QCOMPARE(press(next()), std::string("ok"));
        const auto pushed = job::guard(p_, s_, now(), {"", "did", did_body("breaker", "ref_1", "in"), ""});
        QVERIFY(!pushed);
        QCOMPARE(pushed.error().code, std::string("plug_open"));
    }

    void what_a_repair_warns_of_is_read_before_the_work()
    {
        int warned = 0;
        const auto warns = [](const job::Prompt& q, const profile::Hazard& h) {
            return std::any_of(q.before.begin(), q.before.end(), [&](const auto& line) { return line.word == h.word && line.says == h.says.in(); });
        };
        each_repair([&](const profile::Repair& repair, const std::string& where) {
            for (const auto& hazard : repair.before) {
                ++warned;
                QVERIFY2(warns(asked_.front(), hazard), where.c_str());
                for (const auto& step : repair.steps) {
                    const auto work = std::find_if(asked_.begin(), asked_.end(), [&](const auto& q) { return q.args["step"].as_text() == step.id; });
                    QVERIFY2(step.kind != StepKind::do_ || (work != asked_.end() && warns(*work, hazard)), where.c_str());
                }
            }
        });
        QVERIFY(warned > 4);
    }

    void a_probe_is_changed_with_its_heat_out()
    {
        ready(bundled("sandgrouse_12_pru_9"));
        find(std::find_if(p_.installation.causes.begin(), p_.installation.causes.end(), [](const auto& c) { return c.repair == "replace_probe"; })->id);
        while (next().args["step"].as_text() != "do_replace_probe") QCOMPARE(press(next()), std::string("ok"));
        QVERIFY(s_.breakers.contains("pitot_ht") && s_.breakers.at("pitot_ht").certainly("collared"));
        write("did", did_body("breaker", "pitot_ht", "in"));
        const auto done = job::guard(p_, s_, now(), {"", "did", body({{"verb", "look"}, {"step", "do_replace_probe"}}), ""});
        QVERIFY(!done);
        QCOMPARE(done.error().code, std::string("need"));
    }

    void every_plug_step_leaves_its_register()
    {
        int plugs = 0;
        each_repair([&](const profile::Repair& repair, const std::string& where) {
            for (const auto& step : repair.steps) {
                const bool off = step.kind == StepKind::disconnect;
                if (!off && step.kind != StepKind::connect) continue;
                ++plugs;
                const auto done = std::find_if(written_.begin(), written_.end(), [&](const Written& w) { return w.step == step.id; });
                QVERIFY2(done != written_.end(), (where + " " + step.id).c_str());
                QCOMPARE(done->verb, std::string("plug"));
                QCOMPARE(done->of, plain_id(step.of));
                QCOMPARE(done->to, std::string(off ? "disconnected" : "connected"));
                QVERIFY(s_.plugs.contains(plain_id(step.of)));
            }
        });
        QVERIFY(plugs > 20);
    }
};

CHOCKSIDE_TEST(TestRepairs)
#include "tst_repairs.moc"
