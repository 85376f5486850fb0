#include <core/isolate/detail/summary.h>

#include <algorithm>
#include <cmath>

namespace chockside::isolate::detail {

namespace {

constexpr double misfit_limit = 0.99;
constexpr std::size_t judged_from = 4; ///< items; fewer cannot fit badly
constexpr std::size_t list_all = 4000; ///< hypotheses; beyond, pairs below `listed_from` are left to `rest`
constexpr double listed_from = 1e-6;

/// Log odds of every cause against the rest. Near 1 the rest is summed by itself: 1 - p would lose everything.
std::vector<double> log_odds(const Rows& rows, std::span<const double> logs)
{
    const double most = *std::max_element(logs.begin(), logs.end()), least = 1e-300;
    const auto& all = rows.hypotheses();
    std::vector<double> w(logs.size()), with(rows.model().causes.size(), 0.0);
    double total = 0;
    for (std::size_t k = 0; k < w.size(); ++k) {
        w[k] = std::exp(logs[k] - most);
        total += w[k];
        with[all[k].first] += w[k];
        if (!all[k].single()) with[all[k].second] += w[k];
    }
    std::vector<double> odds(with.size());
    for (std::size_t c = 0; c < with.size(); ++c) {
        double without = total - with[c];
        if (with[c] > 0.9 * total) {
            without = 0;
            for (std::size_t k = 0; k < w.size(); ++k)
                if (all[k].first != c && all[k].second != c) without += w[k];
        }
        odds[c] = std::log(std::max(with[c], least)) - std::log(std::max(without, least));
    }
    return odds;
}

std::vector<Contribution> contributions(const Rows& rows, const Weights& weights, std::span<const Evidence> evidence)
{
    std::vector<Contribution> all;
    const auto& causes = rows.model().causes;
    std::vector<double> logs = Weights(rows).logs();
    std::vector<double> odds = log_odds(rows, logs);
    for (const Item& item : weights.items()) {
        if (!item.counts) continue;
        for (std::size_t k = 0; k < logs.size(); ++k) logs[k] += item.weight() * item.log_l[k];
        const std::vector<double> now = log_odds(rows, logs);
        for (std::size_t c = 0; c < causes.size(); ++c)
            all.push_back({evidence[item.evidence].id, evidence[item.evidence].check, causes[c].id, now[c] - odds[c]});
        odds = now;
    }
    return all;
}

template <class T>
void likeliest_first(std::vector<T>& all)
{
    std::stable_sort(all.begin(), all.end(), [](const T& a, const T& b) { return a.p > b.p; });
}

template <class Out, class Key>
std::vector<Out> summed(const Rows& rows, std::span<const double> p, Key key)
{
    std::map<std::string, double> sums;
    std::vector<double*> of; // one look-up per cause, not per hypothesis
    for (const Cause& c : rows.model().causes) of.push_back(&sums[key(c)]);
    for (std::size_t k = 0; k < p.size(); ++k) {
        const Hypothesis& h = rows.hypotheses()[k];
        *of[h.first] += p[k];
        if (of[h.second] != of[h.first]) *of[h.second] += p[k];
    }
    std::vector<Out> all;
    for (const auto& [name, sum] : sums)
        if (!name.empty()) all.push_back({name, sum});
    likeliest_first(all);
    return all;
}

/// Several hypotheses may stand for what is not listed; a reader sees one, by the name of the first in the model.
void one_entry_for_unlisted(Posterior& out, const Rows& rows)
{
    std::set<std::string> ids;
    std::string first;
    for (const Cause& c : rows.model().causes) {
        if (c.cause_class != "unlisted") continue;
        if (first.empty()) first = c.id;
        ids.insert(c.id);
    }
    if (ids.size() < 2) return;
    const auto of_them = [&](const Likelihood& l) { return l.causes.size() == 1 && ids.contains(l.causes.front()); };
    double sum = 0;
    for (const Likelihood& l : out.likelihood)
        if (of_them(l)) sum += l.p;
    std::erase_if(out.likelihood, of_them);
    out.likelihood.push_back({{first}, sum});
}

void list(Posterior& out, const Rows& rows, std::span<const double> p)
{
    const bool whole = p.size() <= list_all;
    for (std::size_t k = 0; k < p.size(); ++k) {
        const Hypothesis& h = rows.hypotheses()[k];
        if (!whole && !h.single() && p[k] < listed_from) {
            out.rest += p[k];
            continue;
        }
        Likelihood l{{rows.model().causes[h.first].id}, p[k]};
        if (!h.single()) l.causes.push_back(rows.model().causes[h.second].id);
        out.likelihood.push_back(std::move(l));
    }
    one_entry_for_unlisted(out, rows);
    likeliest_first(out.likelihood);
}

void sum_unlisted(Posterior& p, const Rows& rows)
{
    double all = 0;
    const auto& causes = rows.model().causes;
    for (std::size_t c = 0; c < causes.size(); ++c) {
        all += causes[c].prior;
        if (causes[c].cause_class != "unlisted") continue;
        p.unlisted += p.causes[c].p;
        p.unlisted_prior += causes[c].prior;
    }
    p.unlisted_prior /= all;
}

} // namespace

std::vector<double> of_causes(const Rows& rows, std::span<const double> p)
{
    std::vector<double> sums(rows.model().causes.size(), 0.0);
    for (std::size_t k = 0; k < p.size(); ++k) {
        const Hypothesis& h = rows.hypotheses()[k];
        sums[h.first] += p[k];
        if (!h.single()) sums[h.second] += p[k];
    }
    return sums;
}

RemedySums::RemedySums(const Rows& rows) : rows_(rows), all_(detail::remedies(rows.model())), owner_(rows.model().causes.size())
{
    for (std::size_t r = 0; r < all_.size(); ++r)
        for (std::size_t k : all_[r].causes) owner_[k] = r;
}

std::vector<double> RemedySums::of(std::span<const double> p) const
{
    std::vector<double> sums(all_.size(), 0.0);
    for (std::size_t k = 0; k < p.size(); ++k) {
        const std::size_t a = owner_[rows_.hypotheses()[k].first], b = owner_[rows_.hypotheses()[k].second];
        sums[a] += p[k];
        if (b != a) sums[b] += p[k];
    }
    return sums;
}

std::size_t leading_cause(const Remedy& remedy, const std::vector<double>& causes)
{
    return *std::max_element(remedy.causes.begin(), remedy.causes.end(), [&](auto a, auto b) { return causes[a] < causes[b]; });
}

std::vector<RemedyLikelihood> of_remedies(const Rows& rows, std::span<const double> p)
{
    const RemedySums of(rows);
    const auto sums = of.of(p), causes = of_causes(rows, p);
    std::vector<RemedyLikelihood> out;
    for (std::size_t r = 0; r < sums.size(); ++r) {
        const Remedy& remedy = of.remedies()[r];
        out.push_back({remedy.cause_class, rows.model().causes[leading_cause(remedy, causes)].id, sums[r]});
    }
    likeliest_first(out);
    return out;
}

Posterior summary(const Rows& rows, const Weights& weights, std::span<const Evidence> evidence, bool with_contributions)
{
    const std::vector<double> p = normalised(weights.logs());
    Posterior result;
    list(result, rows, p);
    const auto causes = of_causes(rows, p);
    for (std::size_t c = 0; c < causes.size(); ++c) result.causes.push_back({{rows.model().causes[c].id}, causes[c]});
    sum_unlisted(result, rows);
    result.remedies = of_remedies(rows, p);
    result.classes = summed<ClassLikelihood>(rows, p, [](const Cause& c) { return c.cause_class; });
    result.places = summed<PlaceLikelihood>(rows, p, [](const Cause& c) { return c.place; });
    if (with_contributions) result.contributions = contributions(rows, weights, evidence);
    result.misfit = misfit(rows, weights.items(), evidence, p);
    const auto counted = std::count_if(weights.items().begin(), weights.items().end(), [](const Item& i) { return i.counts; });
    result.fits_nothing = (result.misfit > misfit_limit && static_cast<std::size_t>(counted) >= judged_from) || result.unlisted > 0.5;
    return result;
}

} // namespace chockside::isolate::detail
