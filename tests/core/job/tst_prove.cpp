// After the repair: every check that failed passes again, owed work is closed by a good result alone, and nothing signed for an earlier
// repair stands for a later one.
#include "small_work.h"

#include <core/job/build_view.h>
#include <core/job/isolate_model.h>
#include <core/job/standing.h>
#include <tests/support/test_main.h>

#include <algorithm>

using namespace chockside;
using namespace chockside::tests;

namespace {

/// The small aircraft with a second check that proves the fix, whose reading stands between limits.
profile::Profile two_proofs()
{
    profile::Profile p = small_profile();
    profile::Check amps;
    amps.id = "heater_amps";
    amps.stage = "isolate";
    amps.title = en("Heater amps");
    amps.how = profile::Check::How::number;
    amps.unit = "A";
    amps.limits = std::pair{11.0, 16.0};
    amps.given = {{"*", {}, profile::Density{profile::Density::Kind::normal, 13, 1}}};
    amps.proves_fix = true;
    p.installation.checks.push_back(amps);
    return p;
}

} // namespace

class TestProve : public QObject, Work {
    Q_OBJECT

    job::Context now() const { return heard(); }
    void answer(const char* check, const char* outcome) { write("answer", body({{"check", check}, {"outcome", outcome}, {"presence", "showing"}})); }
    void measure(const char* check, const char* number) { write("answer", body({{"check", check}, {"number", number}, {"presence", "showing"}})); }
    void find() { write("finding", body({{"class", "unit"}, {"cause", "unit_ch1"}, {"advice", "isolated"}, {"p", "0.9500"}})); }
    void change_unit() { write("repair", body({{"repair", "replace_unit"}, {"act", "unit_changed"}})); }
    void close_owed() { write("owed", body({{"owed", "seat"}, {"result", "seen"}})); }
    job::Prompt next() const { return job::next_prompt(p_, s_, now(), job::reason(p_, s_, now())); }

    /// Limits of the leak test as the unit's change owes it: -50 to 100 ft.
    void owe_leak_test()
    {
        profile::Check leak;
        leak.id = "leak_test";
        leak.stage = "isolate";
        leak.title = en("Leak test");
        leak.how = profile::Check::How::number;
        leak.unit = "ft";
        leak.limits = std::pair{-50.0, 100.0};
        leak.given = {{"*", {}, profile::Density{profile::Density::Kind::normal, 40, 20}}};
        p_.installation.checks.push_back(leak);
        p_.installation.owed = {{"leak", "unit_changed", en("Leak test done"), "approved data", "", "check:leak_test", true, {}}};
    }

    /// A self-test bit that speaks of the unit, a look that does not, and a gate before it comes off.
    void add_box_test()
    {
        profile::Check box, look;
        box.id = "box";
        box.stage = look.stage = "isolate";
        box.how = profile::Check::How::self_test;
        box.from = "self_test:st_input";
        box.outcomes = {"failed", "passed"};
        box.given = {{"unit_ch1", {0.95, 0.05}, {}}, {"*", {0.02, 0.98}, {}}};
        look.id = "look";
        look.outcomes = {"wet", "dry"};
        look.given = {{"*", {0.1, 0.9}, {}}};
        p_.installation.checks.push_back(box);
        p_.installation.checks.push_back(look);
        p_.installation.causes[0].weight = 100;
        profile::Gate supply;
        supply.id = "G1";
        supply.within = {{"volts_j1", {24, 30}}};
        supply.before = {"unit"};
        p_.installation.gates = {supply};
    }

    void power_up(bool passed)
    {
        write("live.self_test_started");
        json::Array failed;
        if (!passed) failed.push_back(json::Value("st_input"));
        write("live.self_test_ended", body({{"passed", passed}, {"failed", failed}}));
    }

    /// As the line gives them, written.
    std::vector<std::string> automatic()
    {
        std::vector<std::string> all;
        for (const auto& command : job::automatic_answers(p_, s_, now())) {
            all.push_back(command.args["check"].as_text() + " " + command.args["outcome"].as_text());
            ask(command.kind, command.args);
        }
        return all;
    }

    std::vector<std::string> evidence() const
    {
        std::vector<std::string> all;
        for (const auto& e : job::isolate_evidence(p_, s_)) all.push_back(e.check + " " + e.outcome);
        return all;
    }

    std::vector<std::string> others() const
    {
        std::vector<std::string> ids;
        for (const auto& q : job::other_prompts(p_, s_, now(), job::reason(p_, s_, now()))) ids.push_back(q.id);
        return ids;
    }

    std::string ask(const std::string& kind, json::Value args, const std::string& person = "LK")
    {
        const auto answer = job::guard(p_, s_, now(), {"", kind, std::move(args), person});
        if (!answer) return answer.error().code;
        for (const auto& draft : *answer) write(draft.kind, draft.body);
        return "ok";
    }

    std::string press(const std::string& answer = {}, const json::Value& extra = {})
    {
        const auto command = job::command_of(next(), answer, extra);
        return ask(command.kind, command.args);
    }

    static json::Value by_name()
    {
        return body({{"item", "34-20-01"}, {"category", "C"}, {"expires", "2026-12-08"}, {"placard", "HDG 1 INOP, display 1"}, {"authority", "R. Teal"}});
    }
    void gate_the_side()
    {
        profile::Check side;
        side.id = "side_by_side";
        side.stage = "isolate";
        side.title = en("Side by side");
        side.outcomes = {"this_side_off", "equal"};
        side.given = {{"*", {0.5, 0.5}, {}}};
        p_.installation.checks.push_back(side);
        profile::Gate gate{"G10", en("The side at fault is known"), {}, {{"side_by_side", {"this_side_off"}}}, {}, false, {}, {"deferral"}, {}};
        p_.installation.gates = {gate};
    }

private slots:
    void init()
    {
        p_ = two_proofs();
        s_ = {};
        pen_ = {};
        write("opened", body({{"tail", "Q4-RMP"}, {"power", "on"}, {"complaint_kind", "heading_flag"}}));
        write("did", did_body("power", "ground_power", "on"));
        write("live.self_test_ended", body({{"passed", true}}));
        pen_.mono += 600'000;
        write("live.aligned");
        write("presence", body({{"is", "showing"}}));
        write("cautions_read");
    }

    void every_check_that_failed_passes_again()
    {
        answer("flag_watch", "flag");
        measure("heater_amps", "0.0");
        find();
        change_unit();
        close_owed();
        QCOMPARE(next().id, std::string("check:flag_watch"));
        answer("flag_watch", "steady");
        QVERIFY(!job::fix_proved(p_, s_));
        QCOMPARE(job::fix_check(p_, s_)->id, std::string("heater_amps"));
        QCOMPARE(next().id, std::string("check:heater_amps"));
        QCOMPARE(ask("close", body({})), std::string("fix_not_proved"));
        measure("heater_amps", "0.0");
        QVERIFY(!job::fix_proved(p_, s_));
        QCOMPARE(next().id, std::string("reopen"));
        QVERIFY(next().say.find("Heater amps") != std::string::npos);
        measure("heater_amps", "13.1");
        QVERIFY(job::fix_proved(p_, s_));
        QCOMPARE(job::fix_check(p_, s_)->id, std::string("flag_watch"));
        QCOMPARE(job::stage_of_state(p_, s_), job::Stage::close);
        const std::string entry = job::entry_text(p_, s_);
        QVERIFY(entry.find("Flag watch: flag.") != std::string::npos && entry.find("Heater amps: 0.0\u00A0A.") != std::string::npos);
        QVERIFY(entry.find("Flag watch repeated: steady.") != std::string::npos && entry.find("Heater amps repeated: 13.1\u00A0A.") != std::string::npos);
    }

    void a_number_that_was_outside_its_limits_is_measured_again()
    {
        auto& amps = p_.installation.checks.back();
        amps.proves_fix = false; // the profile does not call it a proof
        measure("heater_amps", "0.0");
        find();
        change_unit();
        QVERIFY(!job::fix_proved(p_, s_));
        QCOMPARE(next().id, std::string("check:heater_amps")); // before what is only seen
        QCOMPARE(ask("close", body({})), std::string("owed_open"));
        measure("heater_amps", "13.0");
        QVERIFY(job::fix_proved(p_, s_));
        QCOMPARE(next().id, std::string("owed:seat"));
        amps.disturbs = 2; // measured behind an opened plug: what was just locked stays locked
        measure("heater_amps", "0.0");
        QVERIFY(job::fix_proved(p_, s_));
    }

    void a_check_that_was_good_or_not_done_need_not_be_repeated()
    {
        answer("flag_watch", "flag");
        measure("heater_amps", "13.0");
        answer("heater_amps", "not_done");
        find();
        change_unit();
        answer("flag_watch", "steady");
        QVERIFY(job::fix_proved(p_, s_));
    }

    void owed_work_is_not_closed_by_a_test_that_failed()
    {
        owe_leak_test();
        answer("flag_watch", "flag");
        find();
        change_unit();
        answer("flag_watch", "steady");
        const auto leak = body({{"owed", "leak"}, {"result", "350 ft"}});
        QCOMPARE(next().id, std::string("check:leak_test"));
        QCOMPARE(ask("owed", leak), std::string("fix_not_proved")); // not tested at all
        measure("leak_test", "350");
        QCOMPARE(ask("owed", leak), std::string("fix_not_proved"));
        QCOMPARE(next().id, std::string("check:leak_test")); // asked again
        QVERIFY(next().detail.find("350 ft") != std::string::npos);
        QCOMPARE(others(), (std::vector<std::string>{"defer", "reopen"}));
        const auto row = [&] { return job::build_view(p_, s_, now(), job::reason(p_, s_, now())).owed.back(); };
        QCOMPARE(row().mark, job::Mark::fail);
        QCOMPARE(row().word, std::string("not good: 350\u00A0ft"));
        measure("leak_test", "40");
        QCOMPARE(next().id, std::string("owed:leak"));
        QCOMPARE(press(), std::string("ok"));
        QCOMPARE(row().mark, job::Mark::good);
        QCOMPARE(row().word, std::string("40 ft"));
    }

    void an_owed_test_that_fails_twice_is_deferred_by_name()
    {
        owe_leak_test();
        find();
        change_unit();
        measure("leak_test", "350");
        measure("leak_test", "360");
        QCOMPARE(next().id, std::string("defer"));
        QCOMPARE(others(), (std::vector<std::string>{"reopen", "check:leak_test"}));
        QCOMPARE(press(), std::string("need"));
        QCOMPARE(press({}, by_name()), std::string("ok"));
        QCOMPARE(job::stage_of_state(p_, s_), job::Stage::close);
    }

    void a_cause_that_nobody_put_right_is_deferred()
    {
        p_.installation.causes.front().repair.clear();
        answer("flag_watch", "flag");
        find();
        QCOMPARE(job::stage_of_state(p_, s_), job::Stage::prove);
        QCOMPARE(next().id, std::string("defer"));
        QVERIFY(next().say.find("no repair") != std::string::npos);
        QCOMPARE(ask("close", body({})), std::string("need"));
        QCOMPARE(press({}, by_name()), std::string("ok"));
        QCOMPARE(job::stage_of_state(p_, s_), job::Stage::close);
        QCOMPARE(ask("close", body({})), std::string("unsigned"));
    }

    void what_is_not_at_fault_needs_no_repair()
    {
        write("finding", body({{"class", "none"}, {"cause", "none"}, {"advice", "none_found"}}));
        QCOMPARE(job::stage_of_state(p_, s_), job::Stage::close);
    }

    void a_deferral_is_filled_in_by_hand()
    {
        write("finding", body({{"advice", "not_proven"}, {"class", "unlisted"}}));
        const job::Prompt q = next();
        QCOMPARE(q.id, std::string("defer"));
        QVERIFY(q.kind == job::Prompt::Kind::text && q.ready && q.args.as_object().empty()); // nothing stands there already
        std::vector<std::string> asked;
        for (const auto& [field, title] : q.fields) asked.push_back(field);
        QCOMPARE(asked, (std::vector<std::string>{"item", "category", "expires", "placard", "authority"}));
        for (const auto& field : asked)
            for (const char* blank : {"", "  "}) {
                json::Value said = by_name();
                said.at(field) = blank;
                QCOMPARE(press({}, said), std::string("need"));
            }
        QVERIFY(!s_.deferral);
        QCOMPARE(press({}, by_name()), std::string("ok"));
        const std::string entry = job::entry_text(p_, s_);
        QVERIFY(entry.find("Deferred: 34-20-01, category C, until 2026-12-08, placard HDG 1 INOP, display 1, authority R. Teal.") != std::string::npos);
    }

    void a_deferral_waits_until_the_side_at_fault_is_known()
    {
        gate_the_side();
        write("finding", body({{"advice", "not_proven"}, {"class", "unlisted"}}));
        QCOMPARE(ask("defer", by_name()), std::string("need"));
        QCOMPARE(next().id, std::string("check:side_by_side")); // what may show it is asked first
        answer("side_by_side", "equal");
        QCOMPARE(ask("defer", by_name()), std::string("need"));
        QCOMPARE(next().id, std::string("defer"));
        QVERIFY(!next().ready && next().missing == "The side at fault is known");
        QCOMPARE(others(), std::vector<std::string>{"check:side_by_side"}); // and can be looked at again
        answer("side_by_side", "this_side_off");
        QVERIFY(next().ready);
        QCOMPARE(press({}, by_name()), std::string("ok"));
        QCOMPARE(job::stage_of_state(p_, s_), job::Stage::close);
    }

    void the_side_may_be_seen_after_a_repair_too()
    {
        gate_the_side();
        owe_leak_test();
        find();
        change_unit();
        measure("leak_test", "350");
        measure("leak_test", "360");
        QCOMPARE(next().id, std::string("check:side_by_side"));
        answer("side_by_side", "this_side_off");
        QCOMPARE(next().id, std::string("defer"));
        QCOMPARE(press({}, by_name()), std::string("ok"));
    }

    void an_owed_test_that_failed_before_the_repair_too_isolates_again()
    {
        owe_leak_test();
        measure("leak_test", "350");
        find();
        change_unit();
        measure("leak_test", "350");
        measure("leak_test", "350");
        QCOMPARE(next().id, std::string("reopen"));
        QCOMPARE(press(), std::string("ok"));
        // Nothing is repaired now, so the test is asked for once and not for ever.
        write("finding", body({{"advice", "not_proven"}, {"class", "unlisted"}}));
        measure("leak_test", "90");
        QCOMPARE(next().id, std::string("owed:leak"));
        // A further repair undoes what an earlier test proved.
        find();
        change_unit();
        QCOMPARE(next().id, std::string("check:leak_test"));
        QCOMPARE(ask("owed", body({{"owed", "leak"}})), std::string("fix_not_proved"));
    }

    void a_swing_is_owed_until_one_passes()
    {
        p_.installation.owed = {{"swing", "unit_changed", en("Swing"), "approved data", "", "swing", false, {}}};
        find();
        change_unit();
        const auto swing = body({{"owed", "swing"}, {"result", "swing pass"}});
        QCOMPARE(ask("owed", swing), std::string("need"));
        for (const char* result : {"fail", "not_proven", "no_tolerance"}) {
            write("swing_result", body({{"result", result}}));
            QCOMPARE(ask("owed", swing), std::string("need"));
        }
        write("swing_result", body({{"result", "pass"}}));
        QCOMPARE(ask("owed", swing), std::string("ok"));
    }

    void a_deferral_covers_the_work_up_to_it()
    {
        answer("flag_watch", "flag");
        find();
        change_unit();
        write("defer", body({{"item", "HDG 1 flag"}, {"category", "C"}}));
        QVERIFY(s_.deferral.has_value());
        answer("flag_watch", "flag");
        write("reopened", body({{"check", "flag_watch"}}));
        QVERIFY(!s_.deferral.has_value());
    }

    void a_further_power_up_that_ends_otherwise_is_answered_again()
    {
        using Answers = std::vector<std::string>;
        add_box_test();
        QCOMPARE(automatic(), Answers{"box passed"});
        power_up(true);
        QCOMPARE(automatic(), Answers{});
        power_up(false);
        QCOMPARE(automatic(), Answers{"box failed"});
        QCOMPARE(automatic(), Answers{});
        QCOMPARE(s_.answer("box")->outcome, std::string("failed"));
        write("did", did_body("plug", "j1", "disconnected"));
        power_up(true); // of an open plug the unit says nothing of itself
        QCOMPARE(automatic(), Answers{});
    }

    void what_spoke_of_the_part_that_went_is_asked_anew()
    {
        using Answers = std::vector<std::string>;
        add_box_test();
        power_up(false);
        QCOMPARE(automatic(), Answers{"box failed"});
        answer("flag_watch", "flag");
        answer("look", "dry");
        measure("volts_j1", "27.6");
        QVERIFY(job::reason(p_, s_, now()).advice.missing_gates.empty());
        find();
        change_unit();
        power_up(true);
        answer("flag_watch", "flag");
        QCOMPARE(next().id, std::string("reopen"));
        QCOMPARE(press(), std::string("ok"));
        QCOMPARE(evidence(), (Answers{"look dry", "volts_j1 ", "flag_watch flag"})); // the flag as it was seen since
        QVERIFY(!job::standing(p_, s_, "box") && job::standing(p_, s_, "look"));
        QCOMPARE(s_.answers.size(), std::size_t{5}); // all of them stay in the record
        const double before = job::reason(p_, s_, now()).advice.p;
        QCOMPARE(automatic(), Answers{"box passed"}); // the new unit's own
        const auto advice = job::reason(p_, s_, now()).advice;
        QVERIFY(advice.p < before);
        QCOMPARE(advice.cause_class, std::string("unit"));
        QCOMPARE(advice.missing_gates, Answers{"G1"}); // a second unit needs what was measured since the first
        measure("volts_j1", "27.5");
        QVERIFY(job::reason(p_, s_, now()).advice.missing_gates.empty());
    }

    void what_is_not_proven_says_what_leads()
    {
        p_.installation.checks[0].given = {{"*", {0.5, 0.5}, {}}};
        answer("flag_watch", "flag");
        measure("volts_j1", "27.6");
        measure("heater_amps", "13.0");
        const auto finding = next();
        QCOMPARE(finding.id, std::string("finding"));
        QCOMPARE(finding.args["class"].as_text(), std::string("unlisted"));
        QCOMPARE(finding.args["leads"].as_text(), job::reason(p_, s_, now()).advice.cause_class);
    }

    void the_search_ends_where_nothing_is_worth_its_minutes()
    {
        add_box_test();
        p_.installation.causes[0].weight = 1;
        p_.installation.gates.clear();
        p_.installation.checks[0].given = {{"unit_ch1", {0.6, 0.4}, {}}, {"*", {0.4, 0.6}, {}}};
        answer("flag_watch", "flag");
        measure("volts_j1", "27.6");
        measure("heater_amps", "13.0");
        auto& look = p_.installation.checks.back();
        look.given = {{"unit_ch1", {0.9, 0.1}, {}}, {"*", {0.1, 0.9}, {}}};
        QCOMPARE(next().id, std::string("check:look"));
        look.given = {{"unit_ch1", {0.5, 0.5}, {}}, {"*", {0.4999, 0.5001}, {}}};
        QCOMPARE(next().id, std::string("finding"));
    }

    void a_suspect_plug_is_moved_before_it_comes_off()
    {
        add_box_test();
        auto& in = p_.installation;
        in.gates.clear();
        in.causes[0].weight = 1;
        in.causes[0].at = "j1";
        in.checks[0].given = {{"*", {0.5, 0.5}, {}}};
        answer("flag_watch", "flag");
        measure("volts_j1", "27.6");
        measure("heater_amps", "13.0");
        auto& look = in.checks.back();
        look.given = {{"unit_ch1", {0.9, 0.1}, {}}, {"*", {0.1, 0.9}, {}}};
        look.disturbs = 2;
        look.disturbs_at = {"j1"};
        profile::Check flex = look;
        flex.id = "flex";
        flex.how = profile::Check::How::flex;
        flex.disturbs = 1;
        flex.minutes = 60;
        in.checks.push_back(flex);
        QCOMPARE(job::reason(p_, s_, now()).next.front().check, std::string("look"));
        QCOMPARE(next().id, std::string("check:flex"));
        in.causes[0].at = "w7";
        QCOMPARE(next().id, std::string("check:look"));
    }

    void a_unit_whose_own_test_fails_is_not_released()
    {
        answer("flag_watch", "flag");
        find();
        change_unit();
        close_owed();
        answer("flag_watch", "steady");
        QCOMPARE(next().id, std::string("close:breakers"));
        write("live.self_test_started");
        write("live.self_test_ended", body({{"passed", false}, {"failed", json::Array{json::Value("st_input")}}}));
        QCOMPARE(next().id, std::string("reopen"));
        QVERIFY2(next().say.find("st_input") != std::string::npos, next().say.c_str());
        QCOMPARE(others(), std::vector<std::string>{"defer"});
        QCOMPARE(ask("close", body({})), std::string("fix_not_proved"));
        write("live.self_test_started");
        write("live.self_test_ended", body({{"passed", true}}));
        QCOMPARE(next().id, std::string("close:breakers"));
    }

    void a_breaker_that_trips_on_the_last_power_up_holds_the_release_until_it_is_known_why()
    {
        answer("flag_watch", "flag");
        find();
        change_unit();
        answer("flag_watch", "steady");
        close_owed();
        for (const char* look : {"all_in", "", ""}) QCOMPARE(press(look), std::string("ok"));
        const auto plain = body({{"meaning", "worked"}, {"words", "signed"}, {"certificate_kind", "A&P"}, {"certificate_number", "P-1"}});
        QCOMPARE(ask("sign", signed_by("job", "LK", plain, 1)), std::string("ok"));
        QCOMPARE(others(), std::vector<std::string>{"close:tripped"}); // also after the last look
        const auto which = job::other_prompts(p_, s_, now(), job::reason(p_, s_, now())).front();
        QCOMPARE(which.choices.size(), p_.installation.breakers.size());
        const auto command = job::command_of(which, "ref_1", {});
        QCOMPARE(ask(command.kind, command.args), std::string("ok"));
        QVERIFY(s_.signs.empty() && !s_.done.contains("close.breakers"));
        QVERIFY(s_.breakers.at("ref_1").certainly("tripped"));
        QCOMPARE(next().id, std::string("owed:tripped:ref_1"));
        QVERIFY(next().kind == job::Prompt::Kind::text);
        QCOMPARE(ask("did", did_body("breaker", "ref_1", "in")), std::string("tripped_is_evidence"));
        QCOMPARE(ask("close", body({})), std::string("open_items"));
        QCOMPARE(press({}, body({{"result", "  "}})), std::string("need"));
        QCOMPARE(press({}, body({{"result", "chafed at clip 4, sleeved"}})), std::string("ok"));
        QVERIFY(s_.lines.back().text.find("chafed at clip 4") != std::string::npos);
        QCOMPARE(next().id, std::string("act:breaker:ref_1:in"));
        QCOMPARE(press(), std::string("ok"));
        QCOMPARE(next().id, std::string("close:breakers"));
        QCOMPARE(ask("did", did_body("breaker", "no_such", "tripped")), std::string("bad_command"));
    }

    void a_deferral_covers_no_breaker_that_tripped()
    {
        answer("flag_watch", "flag");
        find();
        change_unit();
        write("defer", by_name());
        write("did", did_body("breaker", "ref_1", "tripped"));
        QVERIFY(s_.deferral.has_value());
        QCOMPARE(next().id, std::string("owed:tripped:ref_1"));
    }

    void a_second_repair_is_looked_at_and_signed_for_anew()
    {
        const auto sign = [&](const char* meaning, const char* person) {
            const auto plain = body({{"meaning", meaning}, {"words", "signed"}, {"certificate_kind", "A&P"}, {"certificate_number", "P-1"}});
            return ask("sign", signed_by("job", person, plain, static_cast<std::uint64_t>(person[0])), person);
        };
        const auto sign_and_look = [&] {
            for (const char* look : {"all_in", "", ""}) QCOMPARE(press(look), std::string("ok"));
            QCOMPARE(next().id, std::string("sign:worked"));
            QCOMPARE(sign("worked", "LK"), std::string("ok"));
            QCOMPARE(next().id, std::string("sign:inspected"));
        };
        answer("flag_watch", "flag");
        find();
        change_unit();
        answer("flag_watch", "steady");
        close_owed();
        sign_and_look();
        QCOMPARE(sign("inspected", "NM"), std::string("ok"));
        answer("flag_watch", "flag"); // it came back before the release
        QCOMPARE(next().id, std::string("reopen"));
        QCOMPARE(press(), std::string("ok"));
        QVERIFY(s_.signs.empty());
        find();
        change_unit();
        answer("flag_watch", "steady");
        close_owed();
        QCOMPARE(next().id, std::string("close:breakers"));
        QCOMPARE(sign("released", "LK"), std::string("unsigned"));
        sign_and_look();
        QCOMPARE(std::count_if(s_.lines.begin(), s_.lines.end(), [](const auto& l) { return l.kind == "sign"; }), 3);
        change_unit(); // a further repair without a reopening
        QVERIFY(s_.signs.empty() && !s_.done.contains("close.tools"));
    }
};

CHOCKSIDE_TEST(TestProve)
#include "tst_prove.moc"
