// Random models with pairs, groups, repeats, presence and doubtful answers: the reasoner that goes answer by answer, and posterior(), against
// an enumeration written from the definition alone (products over pairs of outcomes; no logarithm, no shared code).
#include <core/base/random.h>
#include <core/isolate/isolate.h>
#include <tests/support/test_main.h>

#include <algorithm>
#include <cmath>
#include <numeric>

using namespace chockside;
using namespace chockside::isolate;

namespace {

std::size_t draw(SeededRandom& r, std::size_t n) { return static_cast<std::size_t>(r.below(n)); }

Row row(SeededRandom& r, std::size_t outcomes)
{
    Row row;
    for (std::size_t o = 0; o < outcomes; ++o) row.outcomes.push_back(0.02 + r.uniform());
    const double sum = std::accumulate(row.outcomes.begin(), row.outcomes.end(), 0.0);
    for (double& p : row.outcomes) p /= sum;
    return row;
}

Model model(SeededRandom& r)
{
    Model m;
    m.pair_share = r.uniform() < 0.7 ? 0.3 * r.uniform() : 0;
    const std::size_t causes = 2 + draw(r, 6), checks = 1 + draw(r, 6);
    const char* classes[] = {"unit", "contact", "wiring", "supply", "sensor"};
    const char* modes[] = {"hard", "intermittent"};
    for (std::size_t k = 0; k < causes; ++k) {
        const std::string cls = k + 2 == causes ? "none" : k + 1 == causes ? "unlisted" : classes[draw(r, 5)];
        m.causes.push_back({"c" + std::to_string(k), cls, "p" + std::to_string(draw(r, 3)), 0.05 + r.uniform(), modes[draw(r, 2)]});
    }
    for (std::size_t c = 0; c < checks; ++c) {
        Check check;
        check.id = "q" + std::to_string(c);
        for (std::size_t o = 0, n = 2 + draw(r, 3); o < n; ++o) check.outcomes.push_back("o" + std::to_string(o));
        for (std::size_t k = 0; k < causes; ++k) check.given.push_back(row(r, check.outcomes.size()));
        if (r.uniform() < 0.5)
            for (std::size_t k = 0; k < causes; ++k) check.absent.push_back(row(r, check.outcomes.size()));
        check.minutes = 1 + 10 * r.uniform();
        if (r.uniform() < 0.4) check.panel = "bay", check.access_minutes = 10;
        m.checks.push_back(check);
    }
    return m;
}

std::vector<Evidence> answers(SeededRandom& r, const Model& m)
{
    std::vector<Evidence> all;
    for (std::size_t i = 0, n = draw(r, 9); i < n; ++i) {
        const Check& c = m.checks[draw(r, m.checks.size())];
        Evidence e{"e" + std::to_string(i), c.id, c.outcomes[draw(r, c.outcomes.size())], {}, static_cast<Presence>(draw(r, 3)), {}, 1};
        if (r.uniform() < 0.3) e.certainty = r.uniform();
        all.push_back(e);
    }
    return all;
}

// ---- the definition -----------------------------------------------------------------------------------------------------------

std::vector<double> table(const Model& m, const Check& c, std::size_t cause, Presence presence)
{
    const auto cleaned = [&](const Row& raw) {
        std::vector<double> p;
        for (const double v : raw.outcomes) p.push_back(std::max((1 - m.slip) * v + m.slip / static_cast<double>(raw.outcomes.size()), m.floor));
        const double sum = std::accumulate(p.begin(), p.end(), 0.0);
        for (double& v : p) v /= sum;
        return p;
    };
    const auto showing = cleaned(c.given[cause]), absent = cleaned(c.absent.empty() ? c.given[cause] : c.absent[cause]);
    const double w = presence == Presence::showing ? 1 : presence == Presence::absent ? 0 : m.causes[cause].mode == "hard" ? 0.95 : 0.5;
    std::vector<double> p;
    for (std::size_t o = 0; o < showing.size(); ++o) p.push_back(w * showing[o] + (1 - w) * absent[o]);
    return p;
}

double likelihood(const Model& m, const Evidence& e, std::size_t a, std::size_t b)
{
    const Check& c = *std::find_if(m.checks.begin(), m.checks.end(), [&](const Check& x) { return x.id == e.check; });
    const auto seen = static_cast<std::size_t>(std::find(c.outcomes.begin(), c.outcomes.end(), e.outcome) - c.outcomes.begin());
    const auto first = table(m, c, a, e.presence), second = table(m, c, b, e.presence);
    double p = a == b ? first[seen] : 0;
    for (std::size_t i = 0; a != b && i < first.size(); ++i)
        for (std::size_t j = 0; j < second.size(); ++j)
            if (std::min(i, j) == seen) p += first[i] * second[j]; // the more abnormal of the two stands first
    return e.certainty * p + (1 - e.certainty) / static_cast<double>(c.outcomes.size());
}

/// [pair of causes] -> probability.
std::map<std::pair<std::size_t, std::size_t>, double> enumerated(const Model& m, const std::vector<Evidence>& evidence)
{
    double prior = 0;
    for (const Cause& c : m.causes) prior += c.prior;
    const auto faulty = [&](std::size_t k) { return m.causes[k].cause_class != "none" && m.causes[k].cause_class != "unlisted"; };
    std::map<std::pair<std::size_t, std::size_t>, double> p;
    double all = 0;
    for (std::size_t a = 0; a < m.causes.size(); ++a)
        for (std::size_t b = a; b < m.causes.size(); ++b) {
            if (a != b && (m.pair_share <= 0 || !faulty(a) || !faulty(b))) continue;
            double w = m.causes[a].prior / prior * (a == b ? 1 : m.causes[b].prior / prior * m.pair_share);
            for (std::size_t i = 0; i < evidence.size(); ++i) {
                const bool repeated = std::any_of(evidence.begin() + static_cast<std::ptrdiff_t>(i) + 1, evidence.end(), [&](const Evidence& later) { return later.check == evidence[i].check && later.presence == evidence[i].presence; });
                if (!repeated) w *= likelihood(m, evidence[i], a, b);
            }
            all += p[{a, b}] = w;
        }
    for (auto& [pair, w] : p) w /= all;
    return p;
}

std::string names(const Model& m, const std::pair<std::size_t, std::size_t>& pair)
{
    return m.causes[pair.first].id + (pair.first == pair.second ? "" : "+" + m.causes[pair.second].id);
}

std::string names(const Likelihood& l) { return l.causes.front() + (l.causes.size() > 1 ? "+" + l.causes.back() : ""); }

/// Largest difference to the enumeration.
double off(const Model& m, const std::vector<Evidence>& evidence, const std::vector<Likelihood>& found)
{
    std::map<std::string, double> p;
    for (const auto& l : found) p[names(l)] = l.p;
    double most = 0;
    for (const auto& [pair, w] : enumerated(m, evidence)) most = std::max(most, std::abs(w - p[names(m, pair)]));
    return most;
}

} // namespace

class TestAnswerByAnswer : public QObject {
    Q_OBJECT

private slots:
    void answer_by_answer_is_the_enumeration()
    {
        SeededRandom r(20261126);
        double most = 0, batch = 0;
        for (int i = 0; i < 600; ++i) {
            const Model m = model(r);
            auto reasoner = std::move(*Reasoner::make(m));
            std::vector<Evidence> so_far;
            for (const Evidence& e : answers(r, m)) {
                QVERIFY(reasoner.add(e));
                so_far.push_back(e);
                most = std::max(most, off(m, so_far, reasoner.posterior(false).likelihood));
            }
            batch = std::max(batch, off(m, so_far, posterior(m, so_far)->likelihood));
        }
        QVERIFY2(most < 1e-10 && batch < 1e-10, qPrintable(QString("%1 %2").arg(most).arg(batch)));
    }

    void groups_and_disturbed_places_come_out_as_in_one_go()
    {
        SeededRandom r(7);
        for (int i = 0; i < 400; ++i) {
            Model m = model(r);
            for (Check& c : m.checks)
                if (r.uniform() < 0.6) c.group = "event";
            auto reasoner = std::move(*Reasoner::make(m));
            std::vector<Evidence> all = answers(r, m);
            for (Evidence& e : all) {
                if (r.uniform() < 0.3) e.disturbed_before = {"p0"};
                QVERIFY(reasoner.add(e));
            }
            const auto whole = posterior(m, all)->likelihood;
            std::map<std::string, double> p;
            for (const auto& l : whole) p[names(l)] = l.p;
            for (const auto& l : reasoner.posterior(false).likelihood) QVERIFY2(std::abs(l.p - p[names(l)]) < 1e-9, qPrintable(QString("model %1").arg(i)));
        }
    }

    void a_bad_answer_changes_nothing()
    {
        SeededRandom r(3);
        const Model m = model(r);
        auto reasoner = std::move(*Reasoner::make(m));
        const auto before = reasoner.causes();
        QCOMPARE(reasoner.add({"e", "nobody's", "o0", {}, Presence::showing, {}, 1}).error().code, std::string("unknown_check"));
        QCOMPARE(reasoner.add({"e", "q0", "o99", {}, Presence::showing, {}, 1}).error().code, std::string("unknown_outcome"));
        QCOMPARE(reasoner.causes(), before);
        QVERIFY(reasoner.evidence().empty());
    }

    void an_answer_that_nobody_is_sure_of_says_nothing()
    {
        SeededRandom r(4);
        const Model m = model(r);
        auto reasoner = std::move(*Reasoner::make(m));
        const auto before = reasoner.causes();
        QVERIFY(reasoner.add({"e", "q0", "o0", {}, Presence::showing, {}, 0}));
        const auto after = reasoner.causes();
        for (std::size_t k = 0; k < before.size(); ++k) QVERIFY(std::abs(before[k] - after[k]) < 1e-12);
    }

    void what_is_left_out_of_the_looking_is_bounded_and_said()
    {
        SeededRandom r(5);
        for (int i = 0; i < 100; ++i) {
            const Model m = model(r);
            auto reasoner = std::move(*Reasoner::make(m));
            for (const Evidence& e : answers(r, m)) QVERIFY(reasoner.add(e));
            const Plan next = plan(reasoner, {}, {600, 900, 0, 60}, Presence::showing, 8);
            QVERIFY(next.rest >= 0 && next.rest <= 0.001 + 1e-12);
            QVERIFY(std::is_sorted(next.checks.begin(), next.checks.end(), [](const auto& a, const auto& b) { return a.worth > b.worth; }));
        }
    }
};

CHOCKSIDE_TEST(TestAnswerByAnswer)
#include "tst_answer_by_answer.moc"
