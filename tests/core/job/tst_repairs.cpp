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

    /// The prompts of Prove, answered as long as they are acts or looks that are good; the ids of those that were asked.
    std::vector<job::Prompt> prove_with(const char* act)
    {
        std::vector<job::Prompt> asked;
        write("repair", body({{"repair", "x"}, {"act", act}}));
        for (int i = 0; i < 40 && job::stage_of_state(p_, s_) == job::Stage::prove; ++i) {
            const job::Prompt q = next();
            if (!q.ready || (q.kind != job::Prompt::Kind::act && q.kind != job::Prompt::Kind::number)) break;
            asked.push_back(q);
            if (q.command == "answer") write("answer", body({{"check", q.args["check"]}, {"number", "20"}, {"outcome", ""}}));
            else if (press(q) != "ok") break;
            if (q.verb == "power" && q.to == "on") lit();
        }
        return asked;
    }

    void a_repair_is_recorded_with_no_breakout_in_the_circuit()
    {
        ready(bundled("sandgrouse_12_ramp"));
        write("did", did_body("panel", "rack", "open"));
        write("did", did_body("fit", "breakout_j1", "yes"));
        const auto& causes = p_.installation.causes;
        const std::string stuck = work(std::find_if(causes.begin(), causes.end(), [](const auto& c) { return c.repair == "other_cart"; })->id);
        QCOMPARE(stuck, std::string());
        QVERIFY(s_.fitted.at("breakout_j1").certainly("no"));
        const std::size_t off = at("fit", "breakout_j1", "no");
        QVERIFY(off < written_.size());
        QVERIFY(std::none_of(written_.begin(), written_.begin() + static_cast<std::ptrdiff_t>(off), [](const Written& w) { return w.step.starts_with("other_cart") || w.step == "do_other_cart"; }));
        // What was taken out to take it off is in again before anything is seen to work.
        for (int i = 0; i < 9 && next().command == "did" && next().ready; ++i) QCOMPARE(press(next()), std::string("ok"));
        QCOMPARE(next().id, std::string("owed:cart_changed.tag"));
        QVERIFY(s_.breakers.at("ref_1").certainly("in") && s_.breakers.at("ref_2").certainly("in"));
        write("did", did_body("fit", "breakout_j1", "yes"));
        const auto drafts = job::guard(p_, s_, now(), {"", "repair", body({{"repair", "other_cart"}, {"act", "cart_changed"}}), ""});
        QVERIFY(!drafts);
        QCOMPARE(drafts.error().code, std::string("need"));
        // Nor is anything seen to work with it there.
        QCOMPARE(job::guard(p_, s_, now(), {"", "owed", body({{"owed", "cart_changed.tag"}}), ""}).error().code, std::string("need"));
        QVERIFY(next().verb == "fit" || next().verb == "breaker");
    }

    void what_follows_heading_is_seen_with_the_servo_in()
    {
        ready(bundled("sandgrouse_12_ramp"));
        std::erase_if(p_.installation.owed, [](const auto& row) { return row.prove == "swing"; });
        find("unit_input");
        write("did", did_body("breaker", "ap_servo", "collared"));
        const auto asked = prove_with("unit_changed");
        const auto servo = std::find_if(asked.begin(), asked.end(), [](const auto& q) { return q.id == "act:breaker:ap_servo:in"; });
        const auto seen = std::find_if(asked.begin(), asked.end(), [](const auto& q) { return q.id == "owed:unit_changed.autopilot"; });
        QVERIFY(servo < seen && seen != asked.end());
        for (auto& o : s_.owed) o.closed.reset();
        write("did", did_body("breaker", "ap_servo", "pulled"));
        QCOMPARE(job::guard(p_, s_, now(), {"", "owed", body({{"owed", "unit_changed.autopilot"}}), ""}).error().code, std::string("need"));
    }

    void altitude_is_reported_off_standby_and_compared_off_the_tester()
    {
        ready(bundled("sandgrouse_12_pru_9"));
        find("unit_static");
        write("did", did_body("fit", "xpdr_standby", "yes"));
        const auto asked = prove_with("unit_changed");
        const auto place = [&](const char* id) { return std::find_if(asked.begin(), asked.end(), [&](const auto& q) { return q.id == id; }); };
        QVERIFY(place("check:leak_test") < place("act:fit:static_tester:no"));
        QVERIFY(place("act:fit:static_tester:no") < place("owed:unit_changed.report"));
        QVERIFY(place("act:fit:xpdr_standby:no") < place("owed:unit_changed.report"));
        QVERIFY(place("owed:unit_changed.report") != asked.end());
        write("did", did_body("fit", "static_tester", "yes"));
        QCOMPARE(job::guard(p_, s_, now(), {"", "answer", body({{"check", "altimeters"}, {"outcome", "agree"}}), ""}).error().code, std::string("need"));
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
