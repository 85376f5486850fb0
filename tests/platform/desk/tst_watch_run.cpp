// What a watch and a flex test may conclude. Common practice, no source: time in which the line was not heard shows nothing, and a place that
// nobody moved is not cleared.
#include <platform/desk/watch_run.h>
#include <tests/support/test_main.h>

using namespace chockside;

namespace {

constexpr std::int64_t s = 1'000'000'000;

profile::Check watch_check()
{
    profile::Check c;
    c.id = "watch_flag";
    c.how = profile::Check::How::discrete_watch;
    c.from = "any";
    c.minutes = 20;
    c.outcomes = {"drops", "quiet"};
    return c;
}

profile::Check flex_check()
{
    profile::Check c;
    c.id = "flex_wing";
    c.how = profile::Check::How::flex;
    c.outcomes = {"at_w7", "at_p9", "no_relation", "steady"};
    return c;
}

watch::LiveSnapshot at(std::int64_t seconds, watch::LinkState link, int drops)
{
    watch::LiveSnapshot now;
    now.t_ns = seconds * s;
    now.link = link;
    now.drop_counts["word.heading"] = drops;
    return now;
}

} // namespace

class TestWatchRun : public QObject {
    Q_OBJECT
    using Link = watch::LinkState;

private slots:
    void minutes_without_the_line_are_no_quiet_minutes()
    {
        desk::WatchRun run(watch_check(), at(0, Link::good, 3));
        for (int t = 10; t <= 120; t += 10) run.see(at(t, Link::good, 3));
        QCOMPARE(run.left_s(), 1080.0);
        run.see(at(121, Link::lost, 3));
        run.see(at(1500, Link::silent, 0));
        run.see(at(1510, Link::good, 0)); // the port was opened anew
        QVERIFY(!run.over());
        QCOMPARE(run.left_s(), 1080.0);
        for (int t = 1520; t <= 1510 + 1080; t += 10) run.see(at(t, Link::good, 0));
        QVERIFY(run.over());
        QCOMPARE(run.judge(at(2590, Link::good, 0))->outcome, std::string("quiet"));
    }

    void drop_outs_before_and_after_the_line_was_lost_are_counted()
    {
        desk::WatchRun run(watch_check(), at(0, Link::good, 3));
        run.see(at(10, Link::good, 5));
        run.see(at(20, Link::lost, 5));
        run.see(at(30, Link::good, 1));
        const auto result = run.judge(at(31, Link::good, 1));
        QCOMPARE(result->outcome, std::string("drops"));
        QCOMPARE(result->note, std::string("3 drop-outs"));
    }

    void ended_early_it_says_what_was_seen_and_never_that_it_was_quiet()
    {
        desk::WatchRun run(watch_check(), at(0, Link::good, 3));
        run.see(at(60, Link::good, 3));
        QVERIFY(!run.over());
        QVERIFY(!run.judge(at(60, Link::good, 3)));
        run.see(at(70, Link::good, 4));
        QCOMPARE(run.judge(at(70, Link::good, 4))->outcome, std::string("drops"));
    }

    void quiet_says_nothing_of_what_the_unit_tells()
    {
        using How = profile::Check::How;
        for (const How how : {How::page, How::stored_fault, How::self_test}) {
            profile::Check told = watch_check();
            told.how = how;
            told.minutes = 0;
            desk::WatchRun run(told, at(0, Link::good, 0));
            run.see(at(1, Link::good, 0));
            QVERIFY(!run.judge(at(1, Link::good, 0)));
        }
    }

    void a_flex_test_that_moved_nothing_says_nothing()
    {
        desk::WatchRun run(flex_check(), at(0, Link::good, 0));
        auto now = at(1, Link::good, 0);
        now.flex.running = true;
        QVERIFY(!run.judge(now)); // not_enough
        now.flex.outcome = "steady";
        QCOMPARE(run.judge(now)->outcome, std::string("steady"));
        now.flex.running = false; // an earlier test's
        QVERIFY(!run.judge(now));
    }
};

CHOCKSIDE_TEST(TestWatchRun)
#include "tst_watch_run.moc"
