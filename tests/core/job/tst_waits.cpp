// The three waits: never shortened, restarted by what the profile names, blind to the wall clock.
#include "small_profile.h"

#include <core/job/context.h>
#include <tests/support/test_main.h>

using namespace chockside;
using namespace chockside::tests;
using State = job::WaitView::State;

class TestWaits : public QObject {
    Q_OBJECT

    profile::Profile p_ = small_profile();
    job::JobState s_;
    Pen pen_;

    void write(const std::string& kind, json::Value b = json::Value(json::Object{})) { job::apply(p_, s_, pen_.write(kind, std::move(b))); }
    void pass(double seconds)
    {
        pen_.mono += static_cast<std::int64_t>(seconds * 1000);
        pen_.wall += static_cast<std::int64_t>(seconds * 1000);
    }
    job::Context now() const
    {
        job::Context c;
        c.now = {pen_.wall, pen_.mono, pen_.boot};
        return c;
    }

private slots:
    void init()
    {
        s_ = {};
        pen_ = {};
        write("opened", body({{"power", "off"}, {"scale_milli", 1000}}));
        write("did", did_body("power", "x", "on"));
        write("live.self_test_started");
        pass(20);
        write("live.self_test_ended", body({{"passed", true}}));
    }

    void warm_up_counts_from_the_end_of_the_self_test()
    {
        pass(119);
        QCOMPARE(job::waits(p_, s_, now()).warm_up.state, State::running);
        pass(1);
        QCOMPARE(job::waits(p_, s_, now()).warm_up.state, State::over);
    }

    void a_brown_out_starts_it_again()
    {
        pass(100);
        write("live.power_lost");
        QCOMPARE(job::waits(p_, s_, now()).warm_up.state, State::not_begun);
        write("live.self_test_started");
        pass(20);
        write("live.self_test_ended", body({{"passed", true}}));
        pass(119);
        const auto w = job::waits(p_, s_, now()).warm_up;
        QCOMPARE(w.state, State::running);
        QCOMPARE(w.restarts, 1);
    }

    void motion_starts_the_alignment_again()
    {
        pass(50);
        write("live.motion");
        write("live.still");
        pass(59);
        QCOMPARE(job::waits(p_, s_, now()).alignment.state, State::running);
        pass(1);
        QCOMPARE(job::waits(p_, s_, now()).alignment.state, State::over);
    }

    void a_clock_set_a_day_forward_ends_nothing()
    {
        job::Context c = now();
        c.now.utc_ms += 86'400'000;
        QCOMPARE(job::waits(p_, s_, c).warm_up.state, State::running);
        QCOMPARE(job::waits(p_, s_, c).warm_up.left_s, 120.0);
    }

    void another_boot_is_unknown_until_the_unit_says_its_uptime()
    {
        job::Context c = now();
        c.now.boot = "boot-2";
        c.now.mono_ms = 5'000'000;
        QCOMPARE(job::waits(p_, s_, c).warm_up.state, State::unknown);
        c.live.known = true;
        c.live.uptime_s = 45.0; // 25 s of test, 20 s of warm-up
        const auto w = job::waits(p_, s_, c).warm_up;
        QCOMPARE(w.state, State::running);
        QCOMPARE(w.left_s, 100.0);
    }

    void a_restarted_app_trusts_the_unit_not_its_own_clock()
    {
        pass(200); // by the clock alone it would be over
        job::Context c = now();
        c.resumed = true;
        QCOMPARE(job::waits(p_, s_, c).warm_up.state, State::unknown);
        c.live.known = true;
        c.live.uptime_s = 75.0; // power came back 75 s ago, whatever the clock says
        QCOMPARE(job::waits(p_, s_, c).warm_up.state, State::running);
        QCOMPARE(job::waits(p_, s_, c).warm_up.left_s, 70.0);
    }

    void both_feeds_out_by_hand_begin_the_waits_again()
    {
        pass(300);
        write("live.aligned");
        write("did", did_body("breaker", "ref_1", "collared"));
        QCOMPARE(job::waits(p_, s_, now()).warm_up.state, State::over); // the other feed keeps the unit up
        write("did", did_body("breaker", "pitot_ht", "pulled"));
        QCOMPARE(job::waits(p_, s_, now()).warm_up.state, State::over); // no feed of the unit
        write("did", did_body("breaker", "ref_2", "pulled"));
        for (const auto& w : {job::waits(p_, s_, now()).self_test, job::waits(p_, s_, now()).alignment, job::waits(p_, s_, now()).warm_up}) QVERIFY(w.state != State::over);
        QCOMPARE(s_.warm_restarts, 1);
        pass(30);
        write("did", did_body("breaker", "ref_1", "in"));
        write("did", did_body("breaker", "ref_2", "in"));
        pass(1000);
        QVERIFY(job::waits(p_, s_, now()).warm_up.state != State::over); // the unit has not been heard
        write("live.self_test_ended", body({{"passed", true}}));
        pass(119);
        QCOMPARE(job::waits(p_, s_, now()).warm_up.state, State::running);
        pass(1);
        QCOMPARE(job::waits(p_, s_, now()).warm_up.state, State::over);
    }

    void a_second_supply_keeps_the_unit_up()
    {
        p_.installation.test_plugs = {{"ch1", {"J5A", {"ref_1"}}}}; // the plug says that ref_2 feeds the unit too
        pass(300);
        write("did", did_body("breaker", "ref_1", "pulled"));
        QCOMPARE(job::waits(p_, s_, now()).warm_up.state, State::over);
        p_.installation.plugs.clear();
        write("did", did_body("breaker", "ref_1", "in"));
        write("did", did_body("breaker", "ref_1", "pulled")); // now it is the only feed that the profile names
        QVERIFY(job::waits(p_, s_, now()).warm_up.state != State::over);
    }

    void a_unit_that_says_less_than_the_clock_lost_power_unseen()
    {
        pass(300);
        job::Context c = now();
        c.live.known = c.live.aligned = true;
        c.live.uptime_s = 45; // 25 s of test, 20 s of warm-up
        QCOMPARE(job::waits(p_, s_, c).warm_up.state, State::running);
        QCOMPARE(job::waits(p_, s_, c).warm_up.left_s, 100.0);
        QCOMPARE(job::waits(p_, s_, c).alignment.left_s, 40.0);
        c.live.uptime_s = 320;
        QCOMPARE(job::waits(p_, s_, c).warm_up.state, State::over);
    }

    void an_asked_self_test_is_no_power_up()
    {
        pass(300);
        pen_.boot = "boot-2"; // the app comes up again, asks the unit, and the unit answers
        pen_.mono = 9'000'000;
        write("live.link_opened");
        write("live.self_test_ended", body({{"passed", false}, {"failed", json::Array{json::Value("bit")}}}));
        QCOMPARE(s_.power_ups, 1);
        QVERIFY(s_.self_test_fails.empty());
        QCOMPARE(s_.self_test_failed.size(), std::size_t(1));
        job::Context c = now();
        c.resumed = true;
        QCOMPARE(job::waits(p_, s_, c).warm_up.state, State::unknown);
        c.resumed = false;
        c.live.known = c.live.aligned = true;
        c.live.uptime_s = 4100;
        QCOMPARE(job::waits(p_, s_, c).warm_up.state, State::over);
        QCOMPARE(job::waits(p_, s_, c).alignment.state, State::over);
        c.live.uptime_s = 45; // it was powered anew while nobody looked
        QCOMPARE(job::waits(p_, s_, c).warm_up.left_s, 100.0);
    }

    void a_test_whose_end_nobody_heard_is_over_by_the_units_uptime()
    {
        pass(300);
        write("did", did_body("breaker", "ref_1", "pulled"));
        write("did", did_body("breaker", "ref_2", "pulled"));
        job::Context c = now();
        c.live.known = c.live.aligned = true;
        c.live.uptime_s = 320; // the last figure before it went dark
        QVERIFY(job::waits(p_, s_, c).warm_up.state != State::over);
        pass(10);
        write("did", did_body("breaker", "ref_1", "in"));
        pass(40);
        c.now = now().now;
        QVERIFY(job::waits(p_, s_, c).warm_up.state != State::over); // older than the power that it has now
        QVERIFY(job::waits(p_, s_, c).self_test.state != State::over);
        c.live.uptime_s = 45; // pushed in 5 s before that was written
        QCOMPARE(job::waits(p_, s_, c).self_test.state, State::over);
        QCOMPARE(job::waits(p_, s_, c).warm_up.left_s, 100.0);
        c.live.self_test_running = true;
        QVERIFY(job::waits(p_, s_, c).self_test.state != State::over);
    }

    void practice_scale_is_the_only_thing_that_shortens()
    {
        s_.scale_milli = 16'000;
        pass(7.4);
        QCOMPARE(job::waits(p_, s_, now()).warm_up.state, State::running);
        pass(0.2);
        QCOMPARE(job::waits(p_, s_, now()).warm_up.state, State::over);
    }
};

CHOCKSIDE_TEST(TestWaits)
#include "tst_waits.moc"
