// A unit from which nothing comes: the job goes on with what needs no word of it, and comes back to the rest as soon as it speaks.
#include "small_work.h"

#include <core/job/isolate_model.h>
#include <core/job/plan.h>
#include <tests/support/test_main.h>

#include <algorithm>

using namespace chockside;
using namespace chockside::tests;

class TestSilent : public QObject, Work {
    Q_OBJECT

    job::LiveFacts live_;

    job::Context now() const
    {
        job::Context c = Work::now();
        c.live = live_;
        return c;
    }
    job::Prompt next() const { return job::next_prompt(p_, s_, now(), job::reason(p_, s_, now())); }
    std::optional<job::Prompt> silent() const
    {
        const auto others = job::other_prompts(p_, s_, now(), job::reason(p_, s_, now()));
        const auto found = std::find_if(others.begin(), others.end(), [](const auto& q) { return q.id == "unit:silent"; });
        return found == others.end() ? std::nullopt : std::optional(*found);
    }
    std::string take(const job::Prompt& q)
    {
        job::Command command = job::command_of(q, {});
        command.person = "LK";
        const auto drafts = job::guard(p_, s_, now(), command);
        if (!drafts) return drafts.error().code;
        for (const auto& draft : *drafts) write(draft.kind, draft.body);
        return "ok";
    }
    static profile::Step step(const char* id, const char* stage, profile::StepKind kind, const char* of)
    {
        profile::Step s;
        s.id = id, s.stage = stage, s.kind = kind, s.of = of, s.say = en(id);
        return s;
    }

private slots:
    void init()
    {
        using Kind = profile::StepKind;
        p_ = small_profile();
        s_ = {};
        live_ = {};
        pen_ = {};
        p_.installation.steps = {step("as_link", "as_found", Kind::link_open, ""), step("as_faults", "as_found", Kind::read, "request:read_faults"),
            step("as_photo", "as_found", Kind::do_, ""), step("ready_session", "make_ready", Kind::session_open, "channel:ch1")};
        write("opened", body({{"power", "on"}, {"scale_milli", 1000}, {"complaint_kind", "heading_flag"}}));
        write("presence", body({{"is", "showing"}}));
        write("cautions_read");
    }

    void the_job_goes_on_without_its_word()
    {
        QCOMPARE(next().verb, std::string("link"));
        const auto way = silent();
        QVERIFY(way && way->hold);
        QCOMPARE(take(*way), std::string("ok"));
        QVERIFY(s_.silent);
        QVERIFY(!silent());
        QCOMPARE(next().id, std::string("step:as_photo"));
        QCOMPARE(take(next()), std::string("ok"));
        // No session without a unit: on to what a meter and an eye can tell.
        QCOMPARE(job::stage_of_state(p_, s_), job::Stage::isolate);
        QCOMPARE(s_.lines.back().text.empty(), false);
        QVERIFY(!s_.done.contains("as_faults") && !s_.faults_read);
    }

    void what_it_could_not_tell_is_asked_when_it_speaks()
    {
        QCOMPARE(take(*silent()), std::string("ok"));
        QCOMPARE(take(next()), std::string("ok"));
        QCOMPARE(job::stage_of_state(p_, s_), job::Stage::isolate);
        live_.known = live_.port_open = live_.good = true;
        write("live.link_opened");
        QVERIFY(!s_.silent);
        QCOMPARE(job::stage_of_state(p_, s_), job::Stage::as_found);
        QCOMPARE(next().id, std::string("step:as_link"));
        QCOMPARE(take(next()), std::string("ok"));
        QCOMPARE(next().id, std::string("step:as_faults"));
    }

    void what_stays_silent_after_a_repair_is_isolated_again()
    {
        QCOMPARE(take(*silent()), std::string("ok"));
        QCOMPARE(take(next()), std::string("ok"));
        write("answer", body({{"check", "flag_watch"}, {"outcome", "flag"}, {"presence", "showing"}}));
        write("finding", body({{"class", "unit"}, {"cause", "unit_ch1"}, {"advice", "isolated"}, {"p", "0.9500"}}));
        write("repair", body({{"repair", "replace_unit"}, {"act", "unit_changed"}}));
        QCOMPARE(job::stage_of_state(p_, s_), job::Stage::prove);
        const auto others = job::other_prompts(p_, s_, now(), job::reason(p_, s_, now()));
        QCOMPARE(others.size(), std::size_t(2));
        QCOMPARE(others.front().id, std::string("reopen"));
        QCOMPARE(others.back().id, std::string("defer"));
        QCOMPARE(take(others.front()), std::string("ok"));
        QCOMPARE(job::stage_of_state(p_, s_), job::Stage::isolate);
    }

    void what_is_owed_of_a_silent_new_unit_is_not_waited_for_though_no_check_had_failed()
    {
        p_.installation.owed.front().needs = {profile::Condition::Kind::link, "", "", {}};
        QCOMPARE(take(*silent()), std::string("ok"));
        QCOMPARE(take(next()), std::string("ok"));
        write("finding", body({{"class", "unit"}, {"cause", "unit_ch1"}, {"advice", "isolated"}, {"p", "0.9500"}}));
        write("repair", body({{"repair", "replace_unit"}, {"act", "unit_changed"}}));
        QCOMPARE(job::stage_of_state(p_, s_), job::Stage::prove);
        QVERIFY(!job::fix_check(p_, s_));
        const auto others = job::other_prompts(p_, s_, now(), job::reason(p_, s_, now()));
        QVERIFY(!others.empty());
        QCOMPARE(others.front().id, std::string("reopen"));
        QCOMPARE(take(others.front()), std::string("ok"));
        QCOMPARE(job::stage_of_state(p_, s_), job::Stage::isolate);
    }

    void a_unit_that_speaks_is_not_silent()
    {
        const auto way = silent();
        QVERIFY(way);
        live_.known = live_.port_open = live_.good = true;
        QVERIFY(!silent());
        QCOMPARE(take(*way), std::string("unit_speaks"));
        QVERIFY(!s_.silent);
    }

    void a_check_that_only_the_unit_can_answer_is_left_out()
    {
        auto& watch = p_.installation.checks.front();
        watch.how = profile::Check::How::discrete_watch;
        QCOMPARE(take(*silent()), std::string("ok"));
        QCOMPARE(take(next()), std::string("ok"));
        QVERIFY(next().id != "check:flag_watch");
        for (const auto& other : job::other_prompts(p_, s_, now(), job::reason(p_, s_, now()))) QVERIFY(other.id != "check:flag_watch");
    }
};

CHOCKSIDE_TEST(TestSilent)
#include "tst_silent.moc"
