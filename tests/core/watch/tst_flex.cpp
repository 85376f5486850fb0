// Binomial tails as exact fractions, worked by hand: 8 of 8 in a quarter of the time is (1/4)^8; 3 of 8 or more in a half is 219/256.
#include <core/watch/flex.h>
#include <tests/support/test_main.h>

using namespace chockside::watch;

namespace {
constexpr std::int64_t second = 1'000'000'000;
}

class TestFlex : public QObject {
    Q_OBJECT
private slots:
    void hits_at_one_place_point_at_it()
    {
        const auto v = judge_flex({{"", 20}, {"w7", 20}, {"d3", 20}, {"w8", 20}}, {{"w7", 8}});
        QCOMPARE(v.outcome, std::string("at_w7"));
        for (const auto& p : v.places)
            if (p.place == "w7") QVERIFY(qAbs(p.p - 4.0 / 65536) < 1e-12);
    }

    void hits_everywhere_have_no_relation()
    {
        const auto v = judge_flex({{"", 30}, {"w7", 30}}, {{"", 5}, {"w7", 3}});
        QCOMPARE(v.outcome, std::string("no_relation"));
        for (const auto& p : v.places)
            if (p.place == "w7") QCOMPARE(p.p, 1.0); // 2 * 219/256, at most 1
    }

    // By hand: 15 or more of 16 in 246/424 of the time is 16 x 0.5802^15 x 0.4198 + 0.5802^16 = 0.0021; 9 or more in 122/424, three places, 0.06.
    void hits_with_hands_on_that_no_place_explains_are_not_enough()
    {
        const std::map<std::string, double> moved{{"", 178}, {"p9", 124}, {"w7", 122}};
        const auto v = judge_flex(moved, {{"", 1}, {"p9", 6}, {"w7", 9}});
        for (const auto& p : v.places) QVERIFY(p.p > 0.05);
        QCOMPARE(v.outcome, std::string("not_enough"));
        const auto longer = judge_flex({{"", 356}, {"p9", 248}, {"w7", 244}}, {{"", 2}, {"p9", 12}, {"w7", 18}});
        QCOMPARE(longer.outcome, std::string("at_w7"));
        QCOMPARE(judge_flex(moved, {{"", 6}, {"p9", 5}, {"w7", 5}}).outcome, std::string("no_relation"));
    }

    void without_hands_off_nothing_is_without_relation()
    {
        QCOMPARE(judge_flex({{"p9", 60}, {"w7", 60}}, {{"p9", 5}, {"w7", 6}}).outcome, std::string("not_enough"));
        QCOMPARE(judge_flex({{"", 5}, {"p9", 60}, {"w7", 60}}, {{"p9", 5}, {"w7", 6}}).outcome, std::string("not_enough"));
        QCOMPARE(judge_flex({{"", 30}, {"p9", 60}, {"w7", 60}}, {{"", 3}, {"p9", 5}, {"w7", 6}}).outcome, std::string("no_relation"));
    }

    void no_hit_is_steady_only_after_enough_time()
    {
        QCOMPARE(judge_flex({{"", 20}, {"w7", 20}}, {}).outcome, std::string("steady"));
        QCOMPARE(judge_flex({{"", 20}, {"w7", 5}}, {}).outcome, std::string("not_enough"));
        QCOMPARE(judge_flex({{"w7", 20}}, {{"w7", 4}}).outcome, std::string("not_enough"));
    }

    void more_with_hands_off_is_no_place()
    {
        QCOMPARE(judge_flex({{"", 20}, {"w7", 20}, {"w8", 20}}, {{"", 9}}).outcome, std::string("no_relation"));
    }

    void a_bouncing_contact_is_one_hit_and_blind_time_is_no_exposure()
    {
        FlexTest t;
        t.set_seeing(true, 0);
        t.start(0);
        t.mark("w7", 0);
        for (int i = 0; i < 5; ++i) t.hit(second + i * second / 10);
        t.hit(3 * second);
        t.over(4 * second);
        t.hit(4 * second + second / 5); // the flag goes out of view: the end of the same hit
        t.set_seeing(false, 5 * second);
        t.set_seeing(true, 9 * second);
        t.stop(10 * second);
        const auto v = t.view(20 * second);
        QCOMPARE(v.hits, 2);
        QVERIFY(qAbs(v.exposure_s - 6) < 1e-9);
    }

    void a_test_begins_with_hands_off_whatever_the_last_one_ended_on()
    {
        FlexTest t;
        t.set_seeing(true, 0);
        t.start(0);
        t.mark("w7", 10 * second);
        t.stop(70 * second);
        QCOMPARE(t.place(), std::string());
        t.start(100 * second);
        for (int i = 1; i <= 5; ++i) t.hit((100 + 18 * i) * second); // nobody touches anything
        t.mark("p9", 191 * second);
        t.mark("", 311 * second);
        const auto v = t.view(371 * second);
        QCOMPARE(v.outcome, std::string("no_relation"));
        QCOMPARE(v.places.size(), 2u);
        QCOMPARE(v.places[0].place, std::string());
        QCOMPARE(v.places[0].hits, 5);
    }
};

CHOCKSIDE_TEST(TestFlex)
#include "tst_flex.moc"
