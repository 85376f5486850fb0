// What evidence may and may not do: absent faults, disturbed places, one event, repeats, misfit. Common practice, no source.
#include "small_aircraft.h"
#include <tests/support/test_main.h>

#include <cmath>

using namespace chockside;
using namespace chockside::isolate;
using namespace chockside::tests;

class TestEvidence : public QObject {
    Q_OBJECT

    static Posterior after(const std::vector<Evidence>& evidence) { return *posterior(small_aircraft(), evidence); }
    static double ratio(const Posterior& p, const std::string& a, const std::string& b) { return p_of(p, a) / p_of(p, b); }

private slots:
    void a_good_reading_clears_no_intermittent_while_the_fault_is_absent()
    {
        const auto before = after({}), quiet = after({answer("flag", "steady", Presence::absent)}), shown = after({answer("flag", "steady", Presence::showing)});
        for (const char* cause : {"wet_plug", "loose_pin", "wire", "feed"}) {
            QVERIFY(std::abs(ratio(quiet, cause, "none") / ratio(before, cause, "none") - 1) < 1e-9);
            QVERIFY(ratio(shown, cause, "none") < 0.5 * ratio(before, cause, "none"));
        }
        QVERIFY(ratio(quiet, "unit", "none") < 0.3 * ratio(before, "unit", "none"));
    }

    void presence_not_known_lies_between()
    {
        const auto shown = after({answer("flag", "steady")}), unknown = after({answer("flag", "steady", Presence::unknown)}), quiet = after({answer("flag", "steady", Presence::absent)});
        QVERIFY(ratio(shown, "wire", "none") < ratio(unknown, "wire", "none"));
        QVERIFY(ratio(unknown, "wire", "none") < ratio(quiet, "wire", "none"));
    }

    void a_good_reading_at_a_disturbed_place_weighs_less()
    {
        const auto clean = after({answer("flex", "steady")}), touched = after({answer("flex", "steady", Presence::showing, {"j1"})}), none = after({});
        QVERIFY(ratio(clean, "loose_pin", "feed") < ratio(touched, "loose_pin", "feed"));
        QVERIFY(ratio(touched, "loose_pin", "feed") < ratio(none, "loose_pin", "feed"));
        QVERIFY(std::abs(ratio(touched, "wire", "feed") / ratio(clean, "wire", "feed") - 1) < 1e-9);
        const auto hit = after({answer("flex", "at_j1")}), hit_touched = after({answer("flex", "at_j1", Presence::showing, {"j1"})});
        QVERIFY(std::abs(p_of(hit, "loose_pin") - p_of(hit_touched, "loose_pin")) < 1e-12);
    }

    void repeats_count_once_and_the_latest_counts()
    {
        const auto once = after({answer("code", "each")}), thrice = after({answer("code", "each"), answer("code", "each"), answer("code", "each")});
        QVERIFY(std::abs(p_of(once, "unit") - p_of(thrice, "unit")) < 1e-12);
        const auto changed = after({answer("code", "each"), answer("code", "never")}), never = after({answer("code", "never")});
        QVERIFY(std::abs(p_of(changed, "unit") - p_of(never, "unit")) < 1e-12);
        const auto states = after({answer("code", "each", Presence::absent), answer("code", "each", Presence::showing)});
        QVERIFY(p_of(states, "unit") > p_of(once, "unit"));
    }

    void items_of_one_event_count_little_more_than_the_strongest()
    {
        Model m = small_aircraft();
        Check again = m.checks[3];
        again.id = "code_again";
        m.checks.push_back(again);
        const std::vector<Evidence> both{answer("code", "each"), answer("code_again", "each")};
        const double one = p_of(*posterior(m, std::vector{both[0]}), "unit"), apart = p_of(*posterior(m, both), "unit");
        m.checks[3].group = m.checks.back().group = "event";
        const double together = p_of(*posterior(m, both), "unit");
        QVERIFY(one < together && together < apart);
        const auto odds = [](double p) { return std::log(p / (1 - p)); };
        QVERIFY((odds(together) - odds(one)) < 0.35 * (odds(apart) - odds(one)));
    }

    void no_outcome_is_impossible()
    {
        Model m = small_aircraft();
        for (auto& row : m.checks[4].given) row.outcomes = {0, 1};
        const auto p = posterior(m, std::vector{answer("tail", "other")});
        QVERIFY(p);
        for (const auto& l : p->likelihood) QVERIFY(std::isfinite(l.p) && l.p > 0);
    }

    void misfit_is_small_for_a_usual_case_and_large_where_nothing_fits()
    {
        const auto usual = after({answer("flag", "flag"), answer("code", "each"), answer("tail", "right"), answer("look", "dry"), answer("history", "not")});
        QVERIFY(usual.misfit < 0.9);
        QVERIFY(!usual.fits_nothing);
        const auto odd = after({answer("flag", "steady"), answer("code", "each"), answer("tail", "other"), answer("look", "wet"), answer("winding", "unequal"), answer("flex", "at_w7")});
        QVERIFY2(odd.fits_nothing, qPrintable(QString::number(odd.misfit)));
        QVERIFY(odd.misfit > usual.misfit);
    }

    // By hand: P(at most 12 ft) is 1/2 for the tight system (12, factor 2), P(z < -7.2) for the leak (350, 1.6), P(z < -0.87) = 0.19 for the rest.
    void a_reading_at_the_foot_of_the_scale_tells_as_much_as_the_lowest()
    {
        Model m;
        m.causes = {{"leak", "contact", "line", 1, "hard"}, {"none", "none", "", 1, "hard"}, {"unlisted", "unlisted", "", 1, "hard"}};
        const auto reads = [](double median, double factor) { return Row{{}, Density{Density::Kind::lognormal, median, factor}}; };
        Check test;
        test.id = "leak_test";
        test.given = {reads(350, 1.6), reads(12, 2), reads(40, 4)};
        m.checks = {test};
        for (const double feet : {1.0, 0.0, -20.0}) {
            const auto p = *posterior(m, std::vector{Evidence{"e", "leak_test", "", feet, Presence::showing, {}}});
            QVERIFY2(std::abs(ratio(p, "none", "unlisted") - 0.5 / 0.1925) < 0.1, qPrintable(QString::number(ratio(p, "none", "unlisted"))));
            QVERIFY(ratio(p, "none", "leak") > 20);
            QVERIFY2(p.misfit < 0.5, qPrintable(QString::number(p.misfit)));
        }
        m.checks[0].given = {reads(0.05, 3), reads(200, 3), reads(20, 8)}; // a dead short is as wet as wet can be
        QVERIFY(ratio(*posterior(m, std::vector{Evidence{"e", "leak_test", "", 0.0, Presence::showing, {}}}), "leak", "none") > 20);
    }

    void a_number_below_zero_is_odd_where_a_row_can_be_below_zero()
    {
        Model m;
        m.causes = {{"a", "contact", "", 1, "hard"}, {"b", "none", "", 1, "hard"}};
        Check c;
        c.id = "volts";
        c.given = {Row{{}, Density{Density::Kind::lognormal, 5, 1.5}}, Row{{}, Density{Density::Kind::normal, 0, 1}}};
        m.checks = {c};
        QVERIFY(ratio(*posterior(m, std::vector{Evidence{"e", "volts", "", -1.0, Presence::showing, {}}}), "b", "a") > 20);
    }

    void two_causes_together_where_the_model_allows_them()
    {
        Model m = small_aircraft();
        m.pair_share = 1; // as often together as chance has it
        const auto p = *posterior(m, std::vector{answer("tail", "other"), answer("look", "wet"), answer("flag", "flag"), answer("code", "never"), answer("winding", "equal"),
            answer("flex", "steady"), answer("history", "stored")});
        QCOMPARE(p.likelihood.front().causes, (std::vector<std::string>{"wet_plug", "data"}));
        double sum = 0;
        for (const auto& l : p.likelihood) sum += l.p;
        QVERIFY(std::abs(sum - 1) < 1e-12);
    }

    void bad_input_is_named()
    {
        QCOMPARE(posterior({}, {}).error().code, std::string("no_causes"));
        QCOMPARE(posterior(small_aircraft(), std::vector{answer("nope", "x")}).error().code, std::string("unknown_check"));
        QCOMPARE(posterior(small_aircraft(), std::vector{answer("flag", "x")}).error().code, std::string("unknown_outcome"));
        Model m = small_aircraft();
        m.checks[0].given[2].outcomes = {1};
        QCOMPARE(posterior(m, {}).error().code, std::string("bad_row"));
        m = small_aircraft();
        m.causes[0].prior = 0;
        QCOMPARE(posterior(m, {}).error().code, std::string("bad_prior"));
    }
};

CHOCKSIDE_TEST(TestEvidence)
#include "tst_evidence.moc"
