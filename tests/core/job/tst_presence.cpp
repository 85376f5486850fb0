// Whether the fault shows is asked again when it may have changed, can be said at any time, and is never denied by the complaint itself.
#include "small_work.h"

#include <core/job/isolate_model.h>
#include <core/job/plan.h>
#include <tests/support/test_main.h>

#include <algorithm>

using namespace chockside;
using namespace chockside::tests;

class TestPresence : public QObject, SmallWork {
    Q_OBJECT

    job::Prompt next() const { return job::next_prompt(p_, s_, heard(), job::reason(p_, s_, heard())); }
    void come_up()
    {
        write("live.self_test_started");
        pen_.mono += 30'000;
        write("live.self_test_ended", body({{"passed", true}}));
        pen_.mono += 600'000;
        write("live.aligned");
    }

private slots:
    void init()
    {
        p_ = small_profile();
        std::erase_if(p_.installation.checks, [](const auto& check) { return check.id != "flag_watch"; });
        s_ = {};
        pen_ = {};
        write("opened", body({{"tail", "Q4-RMP"}, {"power", "on"}, {"complaint_kind", "heading_flag"}}));
        come_up();
        pen_.mono += 1000;
        write("presence", body({{"is", "absent"}}));
        write("cautions_read");
    }

    void the_complaint_seen_says_that_it_shows()
    {
        QCOMPARE(ask("answer", body({{"check", "flag_watch"}, {"outcome", "steady"}})), std::string("ok"));
        QCOMPARE(s_.answers.back().presence, std::string("absent"));
        QCOMPARE(ask("answer", body({{"check", "flag_watch"}, {"outcome", "flag"}})), std::string("ok"));
        QCOMPARE(s_.answers.back().presence, std::string("showing"));
        p_.installation.checks.front().proves_fix = false; // not the complaint itself
        QCOMPARE(ask("answer", body({{"check", "flag_watch"}, {"outcome", "flag"}})), std::string("ok"));
        QCOMPARE(s_.answers.back().presence, std::string("absent"));
    }

    void after_power_it_is_asked_again_before_a_look_at_the_fault()
    {
        QCOMPARE(next().id, std::string("check:flag_watch"));
        pen_.mono += 1000;
        did("power", "ground_power", "off");
        pen_.mono += 1000;
        did("power", "ground_power", "on");
        come_up();
        QCOMPARE(next().id, std::string("presence"));
        QCOMPARE(next().toward, std::string("flag_watch"));
        pen_.mono += 1000;
        QCOMPARE(ask("presence", job::command_of(next(), "showing").args), std::string("ok"));
        QCOMPARE(next().id, std::string("check:flag_watch"));
        QVERIFY(s_.presence.certainly("showing"));
    }

    void a_check_that_needs_no_showing_does_not_ask()
    {
        p_.installation.checks.front().lever = {"load"};
        pen_.mono += 1000;
        did("power", "ground_power", "off");
        did("power", "ground_power", "on");
        come_up();
        QCOMPARE(next().id, std::string("check:flag_watch"));
    }

    void it_may_be_said_at_any_time()
    {
        const auto others = job::other_prompts(p_, s_, heard(), job::reason(p_, s_, heard()));
        QVERIFY(std::any_of(others.begin(), others.end(), [](const auto& q) { return q.id == "presence" && q.choices.size() == 3; }));
    }
};

CHOCKSIDE_TEST(TestPresence)
#include "tst_presence.moc"
