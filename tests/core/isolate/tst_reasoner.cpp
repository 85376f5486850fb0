// Answer by answer, in pairs, and two ahead: against an enumeration of its own that multiplies plain probabilities.
#include <core/base/random.h>
#include <core/isolate/explain.h>
#include <core/isolate/unexplained.h>
#include <tests/core/isolate/small_aircraft.h>
#include <tests/support/test_main.h>

#include <rapidcheck.h>

#include <cmath>

using namespace chockside;
using namespace chockside::isolate;
using namespace chockside::tests;

namespace {

Model drawn(SeededRandom& random)
{
    Model m;
    m.slip = 0.02;
    m.floor = 0;
    m.pair_share = 0.3;
    const std::size_t causes = 3 + random.below(5), checks = 2 + random.below(4);
    for (std::size_t k = 0; k < causes; ++k) m.causes.push_back({"c" + std::to_string(k), k + 1 == causes ? "none" : "contact", "", 0.1 + random.uniform(), "hard"});
    for (std::size_t c = 0; c < checks; ++c) {
        Check check;
        check.id = "k" + std::to_string(c);
        const std::size_t n = 2 + random.below(3);
        for (std::size_t o = 0; o < n; ++o) check.outcomes.push_back("o" + std::to_string(o));
        for (std::size_t k = 0; k < causes; ++k) {
            Row row;
            double sum = 0;
            for (std::size_t o = 0; o < n; ++o) sum += row.outcomes.emplace_back(0.01 + random.uniform());
            for (double& v : row.outcomes) v /= sum;
            check.given.push_back(row);
        }
        m.checks.push_back(check);
    }
    return m;
}

/// Chance that the more abnormal of what a and b show alone is outcome o: both orders summed by hand, no tails.
double of_pair(const std::vector<double>& a, const std::vector<double>& b, std::size_t o)
{
    double p = a[o] * b[o];
    for (std::size_t less = o + 1; less < a.size(); ++less) p += a[o] * b[less] + a[less] * b[o];
    return p;
}

double with_slip(double p, double slip, std::size_t outcomes)
{
    return (1 - slip) * p + slip / static_cast<double>(outcomes);
}

/// Every set of one or two causes, its prior times its chances.
std::map<std::pair<std::size_t, std::size_t>, double> enumerated(const Model& m, const std::vector<std::size_t>& answers)
{
    std::map<std::pair<std::size_t, std::size_t>, double> all;
    double priors = 0, total = 0;
    for (const auto& c : m.causes) priors += c.prior;
    for (std::size_t i = 0; i < m.causes.size(); ++i)
        for (std::size_t j = i; j < m.causes.size(); ++j) {
            if (i != j && (m.causes[i].cause_class == "none" || m.causes[j].cause_class == "none")) continue;
            double p = m.causes[i].prior / priors * (i == j ? 1 : m.causes[j].prior / priors * m.pair_share);
            for (std::size_t c = 0; c < answers.size(); ++c) {
                std::vector<double> a = m.checks[c].given[i].outcomes, b = m.checks[c].given[j].outcomes;
                for (auto* row : {&a, &b})
                    for (double& v : *row) v = with_slip(v, m.slip, row->size());
                p *= i == j ? a[answers[c]] : of_pair(a, b, answers[c]);
            }
            all[{i, j}] = p;
            total += p;
        }
    for (auto& [h, p] : all) p /= total;
    return all;
}

Evidence seen(const std::string& check, const std::string& outcome)
{
    return {check + "=" + outcome, check, outcome, {}, Presence::showing, {}};
}

} // namespace

class TestReasoner : public QObject {
    Q_OBJECT

private slots:
    void singles_and_pairs_are_the_enumerated_ones()
    {
        QVERIFY(rc::check("as enumerated", [](std::uint64_t seed) {
            SeededRandom random(seed);
            const Model m = drawn(random);
            auto r = Reasoner::make(m);
            RC_ASSERT(r.has_value());
            std::vector<std::size_t> answers;
            for (const Check& c : m.checks) {
                answers.push_back(random.below(c.outcomes.size()));
                RC_ASSERT(r->add(seen(c.id, c.outcomes[answers.back()])).has_value());
            }
            const auto wanted = enumerated(m, answers);
            const Posterior p = r->posterior();
            RC_ASSERT(p.likelihood.size() == wanted.size());
            for (const auto& l : p.likelihood) {
                const auto at = [&](const std::string& id) { return static_cast<std::size_t>(std::stoi(id.substr(1))); };
                RC_ASSERT(std::abs(l.p - wanted.at({at(l.causes.front()), at(l.causes.back())})) < 1e-12);
            }
        }));
    }

    // By hand: the contact explains the open loop, 22 V it does not; the weak bus would show them (22.5 within one deviation).
    void an_odd_number_beside_the_answer_is_named()
    {
        Model m;
        m.causes = {{"contact", "contact", "j1", 1, "hard"}, {"bus", "supply", "bus", 0.02, "hard"}, {"none", "none", "", 1, "hard"}};
        const auto check = [](const char* id, std::vector<std::string> outcomes, std::vector<Row> given) {
            Check c;
            c.id = id, c.outcomes = std::move(outcomes), c.given = std::move(given);
            return c;
        };
        const auto shows = [](double p) { return Row{{p, 1 - p}, {}}; };
        const auto reads = [](double mean, double sd) { return Row{{}, Density{Density::Kind::normal, mean, sd}}; };
        m.checks = {check("loop", {"open", "closed"}, {shows(0.95), shows(0.01), shows(0.01)}), check("look", {"green", "clean"}, {shows(0.9), shows(0.02), shows(0.02)}),
            check("volts", {}, {reads(27.6, 0.4), reads(22.5, 1), reads(27.6, 0.4)})};
        auto r = Reasoner::make(m);
        QVERIFY(r && r->add(seen("loop", "open")) && r->add(seen("look", "green")));
        QVERIFY(unexplained(*r).empty());
        Evidence number{"e3", "volts", "", 27.3, Presence::showing, {}};
        QVERIFY(r->add(number));
        QVERIFY(unexplained(*r).empty());
        number.id = "e4", number.number = 22.0;
        QVERIFY(r->add(number));
        QCOMPARE(r->posterior().likelihood.front().causes, std::vector<std::string>{"contact"});
        const auto odd = unexplained(*r);
        QCOMPARE(odd.size(), std::size_t{1});
        QCOMPARE(odd[0].check, std::string("volts"));
        QCOMPARE(odd[0].cause, std::string("bus"));
        QCOMPARE(odd[0].evidence, std::string("e4"));
    }

    // What one look saves, from the definition over every single and pair; some rows alike, as in a profile, two that show otherwise together.
    void a_look_saves_what_enumeration_says()
    {
        QVERIFY(rc::check("saved as enumerated", [](std::uint64_t seed) {
            SeededRandom random(seed);
            Model m = drawn(random);
            m.checks.resize(1);
            Check& check = m.checks.front();
            for (std::size_t k = 2; k < m.causes.size(); ++k)
                if (random.uniform() < 0.5) check.given[k] = check.given[0];
            for (auto& c : m.causes) c.mode = random.uniform() < 0.5 ? "hard" : "intermittent";
            check.minutes = 10;
            std::vector<double> own(check.outcomes.size(), 1.0 / static_cast<double>(check.outcomes.size()));
            const bool apart = m.causes.size() > 3;
            if (apart) check.together[{0, 1}] = own;
            const auto before = enumerated(m, {});
            const auto loss = [&](const std::map<std::pair<std::size_t, std::size_t>, double>& p) {
                std::vector<double> sums(m.causes.size(), 0.0);
                double total = 0, all = 0;
                for (const auto& [h, w] : p) sums[h.first] += w / 2, sums[h.second] += w / 2, total += w;
                for (std::size_t r = 0; r < sums.size() && total > 0; ++r) all += (m.causes[r].cause_class == "none" ? 900 + 20000 : 900) * sums[r] * (1 - sums[r] / total);
                return all;
            };
            double after = 0;
            for (std::size_t o = 0; o < check.outcomes.size(); ++o) {
                auto joint = before;
                for (auto& [h, w] : joint) {
                    std::vector<double> a = check.given[h.first].outcomes, b = check.given[h.second].outcomes;
                    for (auto* row : {&a, &b})
                        for (double& v : *row) v = with_slip(v, m.slip, row->size());
                    w *= h.first == h.second ? a[o] : apart && h.first == 0 && h.second == 1 ? own[o] : of_pair(a, b, o);
                }
                after += loss(joint);
            }
            auto r = Reasoner::make(m);
            RC_ASSERT(r.has_value());
            const Plan p = plan(*r, {}, {600, 900, 20000, 60}, Presence::showing, 1);
            RC_ASSERT(p.checks.size() == 1);
            // What plan() leaves out may cost its share of the dearest decision.
            RC_ASSERT(std::abs(p.checks.front().worth * 10 - (loss(before) - after)) <= 1e-9 * 20900 + p.rest * 20900);
        }));
    }

    void answer_by_answer_is_all_at_once()
    {
        const Model m = small_aircraft();
        const std::vector<Evidence> all{answer("flag", "flag"), answer("look", "dry"), answer("flex", "at_j1"), answer("flex", "steady", Presence::showing, {"j1"}), answer("flag", "steady")};
        auto r = Reasoner::make(m);
        QVERIFY(r);
        for (const auto& e : all) QVERIFY(r->add(e));
        const auto one = r->posterior(), other = *posterior(m, all);
        for (const auto& c : m.causes) QVERIFY(std::abs(p_of(one, c.id) - p_of(other, c.id)) < 1e-12);
        QVERIFY(std::abs(one.misfit - other.misfit) < 1e-12);
    }

    // By hand: l = c l + (1 - c) / 2 for a look with two answers; no certainty is no evidence.
    void a_doubtful_answer_weighs_less()
    {
        Model m;
        m.slip = m.floor = 0;
        m.causes = {{"a", "contact", "", 1, "hard"}, {"b", "none", "", 1, "hard"}};
        m.checks = {asked("look", {"y", "n"}, {{.9, .1}, {.1, .9}})};
        Evidence e = seen("look", "y");
        e.certainty = 0.5; // 0.70 against 0.30
        QVERIFY(std::abs(p_of(*posterior(m, std::vector{e}), "a") - 0.70) < 1e-12);
        e.certainty = 0;
        QVERIFY(std::abs(p_of(*posterior(m, std::vector{e}), "a") - 0.50) < 1e-12);
        e.certainty = 1.5;
        QVERIFY(!posterior(m, std::vector{e}));
    }

    void a_refused_answer_changes_nothing()
    {
        auto r = Reasoner::make(small_aircraft());
        const auto before = r->causes();
        QVERIFY(!r->add(answer("flag", "no such answer")));
        QVERIFY(r->evidence().empty() && r->causes() == before);
    }

    void a_branch_leaves_its_trunk_alone()
    {
        auto trunk = Reasoner::make(small_aircraft());
        const auto before = trunk->causes();
        Reasoner branch = *trunk;
        QVERIFY(branch.add(answer("look", "wet")));
        QVERIFY(trunk->causes() == before && branch.causes() != before);
    }

    // Two resistances that only together drop the unit: each alone shows nothing, the pair has a row of its own.
    void a_pair_may_do_more_than_either()
    {
        Model m = small_aircraft();
        m.pair_share = 0.5;
        Check check = asked("drop", {"drops", "holds"}, std::vector<std::vector<double>>(m.causes.size(), {.02, .98}));
        check.together[{4, 5}] = {.98, .02};
        m.checks.push_back(check);
        const auto p = posterior(m, std::vector{answer("drop", "drops")});
        QVERIFY(p);
        QVERIFY((p->likelihood.front().causes == std::vector<std::string>{"wire", "feed"}));
        check.together[{5, 4}] = {.5, .5};
        m.checks.back() = check;
        QVERIFY(!posterior(m, {}));
    }

    void a_tool_that_is_not_in_the_bag_removes_its_check()
    {
        Model m = small_aircraft();
        m.checks[1].tools = {"feeler"};
        Situation now;
        now.people = 2;
        now.power_on = true;
        const auto there = [&] {
            const auto all = next_checks(m, {}, now, {600, 900, 0, 60}, Presence::showing, 20);
            return std::any_of(all.begin(), all.end(), [](const auto& n) { return n.check == "flex"; });
        };
        QVERIFY(there());
        now.tools.emplace();
        QVERIFY(!there());
        now.tools->insert("feeler");
        QVERIFY(there());
    }

    // Exclusive or: of four causes two are the unit's, two the sensor's; neither look parts unit from sensor, both together do.
    // "hint" parts them a little by itself: one step ahead it is all there is.
    void two_ahead_sees_what_one_step_cannot()
    {
        Model m;
        m.slip = m.floor = 0.001;
        m.causes = {{"a", "unit", "box", 1, "hard"}, {"b", "sensor", "tip", 1, "hard"}, {"c", "sensor", "tip", 1, "hard"}, {"d", "unit", "box", 1, "hard"}};
        m.checks = {asked("left", {"y", "n"}, {{.99, .01}, {.99, .01}, {.01, .99}, {.01, .99}}, 5), asked("right", {"y", "n"}, {{.99, .01}, {.01, .99}, {.99, .01}, {.01, .99}}, 5),
            asked("hint", {"y", "n"}, {{.6, .4}, {.4, .6}, {.4, .6}, {.6, .4}}, 5)};
        auto r = Reasoner::make(m);
        const Plan p = plan(*r, {}, {600, 900, 0, 60}, Presence::showing, 8);
        QCOMPARE(p.checks.at(0).why, std::string("then"));
        QVERIFY(p.checks.at(0).check != "hint" && p.checks.at(0).then != "hint");
        QVERIFY(p.checks.at(0).check != p.checks.at(0).then);
        // Loss 2 x 1500 x 1/4 = 750; both looks leave about 4 % of doubt at most.
        QVERIFY(p.checks.at(0).worth > 0.9 * 750 / 10 && p.checks.at(0).worth < 750 / 10.0);
        QCOMPARE(p.hypotheses, std::size_t{4});
        QVERIFY(p.rest < 1e-9);
    }

    void a_gate_may_be_met_in_one_of_several_ways()
    {
        Gate gate;
        gate.id = "G3";
        gate.before = {"unit"};
        gate.ways = {{{"words", {"wrong"}}}, {{"swap", {"follows"}}, {"back", {"returns"}}}};
        const auto state = [&](const std::vector<Evidence>& e) { return gate_states(e, std::vector{gate}, "unit").front(); };
        QVERIFY(!state({}).met);
        QCOMPARE(state({}).missing.size(), std::size_t{3});
        QVERIFY(state({seen("words", "wrong")}).met);
        QVERIFY(!state({seen("swap", "follows")}).met);
        QVERIFY(state({seen("swap", "follows"), seen("back", "returns")}).met);
        QVERIFY(state({seen("words", "good"), seen("swap", "stays")}).missing.empty()); // no way is open any more
        QVERIFY(gate_states({}, std::vector{gate}, "none").empty());
    }

    void the_explanation_names_what_speaks_for_and_against()
    {
        auto r = Reasoner::make(small_aircraft());
        QVERIFY(r->add(answer("flag", "flag")) && r->add(answer("look", "wet")) && r->add(answer("history", "not")));
        const std::vector<std::string> places{"tip", "p9", "w7", "j1", "box"};
        const auto e = explain(*r, r->posterior(), places, Presence::showing);
        QCOMPARE(e.cause, std::string("wet_plug"));
        QCOMPARE(e.in_favour.front().check, std::string("look"));
        QCOMPARE(e.against.front().check, std::string("history"));
        QVERIFY(e.against.front().times < 1);
        QCOMPARE(e.along.size(), places.size());
        QCOMPARE(e.along[1].place, std::string("p9"));
        QVERIFY(e.along[1].p > 0.5);
        QVERIFY(e.rivals && !e.rivals->check.empty() && e.rivals->bits > 0 && e.rivals->bits <= 1);
        // Each turn is what adding its answer gives.
        for (const Turn& t : e.turns) {
            Reasoner then = *r;
            QVERIFY(then.add(answer(t.check, t.outcome)));
            QCOMPARE(then.remedies().front().cause, t.cause);
            QVERIFY(std::abs(then.remedies().front().p - t.p) < 1e-9);
        }
    }
};

CHOCKSIDE_TEST(TestReasoner)
#include "tst_reasoner.moc"
