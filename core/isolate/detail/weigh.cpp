#include <core/isolate/detail/weigh.h>

#include <algorithm>
#include <cmath>

namespace chockside::isolate::detail {

namespace {

constexpr double disturbed_weighs = 0.2;

bool same_state(const Evidence& a, const Evidence& b)
{
    const auto places = [](const Evidence& e) { return std::set<std::string>(e.disturbed_before.begin(), e.disturbed_before.end()); };
    return a.check == b.check && a.presence == b.presence && places(a) == places(b);
}

bool part_of(const Cause& cause, const Evidence& e)
{
    const bool kind = cause.cause_class == "contact" || cause.cause_class == "wiring";
    return kind && std::find(e.disturbed_before.begin(), e.disturbed_before.end(), cause.place) != e.disturbed_before.end();
}

/// Against a cause whose place was disturbed before, the item weighs a fifth; what it says for the cause stands whole.
void soften(const Rows& rows, const Evidence& e, std::vector<double>& log_l)
{
    const auto& all = rows.hypotheses();
    const auto touched = [&](const Hypothesis& h) { return part_of(rows.model().causes[h.first], e) || part_of(rows.model().causes[h.second], e); };
    std::vector<double> rest, weights;
    for (std::size_t k = 0; k < all.size(); ++k)
        if (!touched(all[k])) {
            rest.push_back(all[k].log_prior + log_l[k]);
            weights.push_back(all[k].log_prior);
        }
    if (rest.empty() || rest.size() == all.size()) return;
    const double others = log_sum(rest) - log_sum(weights);
    for (std::size_t k = 0; k < all.size(); ++k)
        if (touched(all[k]) && log_l[k] < others) log_l[k] = others + disturbed_weighs * (log_l[k] - others);
}

/// What was seen with doubt: l = c l + (1 - c) times what any answer would be worth.
void doubt(std::vector<double>& log_l, double certainty, double any)
{
    for (double& l : log_l) l = std::log(certainty * std::exp(l) + (1 - certainty) * std::max(any, 1e-300));
}

Result<Item> read(const Rows& rows, const Evidence& e, std::size_t index)
{
    const auto check = rows.check(e.check);
    if (!check) return fail("unknown_check", e.id, {{"check", e.check}});
    Item item;
    item.evidence = index;
    item.check = *check;
    item.presence = e.presence;
    item.outcome = rows.outcome(*check, e.outcome);
    const double x = e.number.value_or(0);
    item.number = rows.scored(*check, x);
    if (!item.outcome && (!e.outcome.empty() || !e.number || !std::isfinite(*e.number) || !rows.has_number(*check)))
        return fail("unknown_outcome", e.id, {{"check", e.check}, {"outcome", e.outcome}});
    item.log_l = item.outcome ? rows.log_outcome(*check, e.presence, *item.outcome) : rows.log_number(*check, e.presence, x);
    if (!(e.certainty >= 0 && e.certainty <= 1)) return fail("bad_certainty", e.id, {{"check", e.check}});
    if (e.certainty < 1) doubt(item.log_l, e.certainty, item.outcome ? 1.0 / static_cast<double>(rows.model().checks[*check].outcomes.size()) : rows.slip_density(*check, x));
    if (!e.disturbed_before.empty() && !rows.model().checks[*check].lasting) soften(rows, e, item.log_l);
    return item;
}

/// How far an item parts the hypotheses: standard deviation of its logarithm under the prior.
double strength(const Rows& rows, const Item& item)
{
    double mean = 0, square = 0, sum = 0;
    for (std::size_t k = 0; k < item.log_l.size(); ++k) {
        const double w = std::exp(rows.hypotheses()[k].log_prior);
        sum += w;
        mean += w * item.log_l[k];
        square += w * item.log_l[k] * item.log_l[k];
    }
    return square / sum - (mean / sum) * (mean / sum);
}

} // namespace

double log_sum(std::span<const double> logs)
{
    const double most = *std::max_element(logs.begin(), logs.end());
    double sum = 0;
    for (double l : logs) sum += std::exp(l - most);
    return most + std::log(sum);
}

std::vector<double> normalised(std::vector<double> logs)
{
    const double all = log_sum(logs);
    for (double& l : logs) l = std::exp(l - all);
    return logs;
}

Weights::Weights(const Rows& rows)
{
    rebuild(rows);
}

void Weights::rebuild(const Rows& rows)
{
    logs_.clear();
    for (const Hypothesis& h : rows.hypotheses()) logs_.push_back(h.log_prior);
    for (const Item& item : items_)
        if (const double w = item.weight(); w > 0)
            for (std::size_t k = 0; k < logs_.size(); ++k) logs_[k] += w * item.log_l[k];
}

/// Of one group the strongest leads; true where an earlier item's weight has changed by the newest.
bool Weights::one_leader(const Rows& rows, std::size_t newest)
{
    const std::string& group = rows.model().checks[items_[newest].check].group;
    if (group.empty()) return false;
    items_[newest].strength = strength(rows, items_[newest]);
    std::size_t leader = items_.size();
    const auto of_group = [&](std::size_t i) { return items_[i].counts && rows.model().checks[items_[i].check].group == group; };
    for (std::size_t i = 0; i < items_.size(); ++i)
        if (of_group(i) && (leader == items_.size() || items_[i].strength > items_[leader].strength)) leader = i;
    bool changed = false;
    for (std::size_t i = 0; i < items_.size(); ++i) {
        if (!of_group(i)) continue;
        changed = changed || (i != newest && items_[i].leads != (i == leader));
        items_[i].leads = i == leader;
    }
    return changed;
}

Status Weights::add(const Rows& rows, std::span<const Evidence> all, std::size_t at)
{
    auto item = read(rows, all[at], at);
    if (!item) return Unexpected{item.error()};
    bool changed = false;
    for (Item& earlier : items_)
        if (earlier.counts && same_state(all[earlier.evidence], all[at])) {
            earlier.counts = false;
            changed = true;
        }
    items_.push_back(std::move(*item));
    if (one_leader(rows, items_.size() - 1) || changed) rebuild(rows);
    else
        for (std::size_t k = 0; k < logs_.size(); ++k) logs_[k] += items_.back().weight() * items_.back().log_l[k];
    return {};
}

Result<Weights> weigh(const Rows& rows, std::span<const Evidence> evidence)
{
    Weights weights(rows);
    for (std::size_t i = 0; i < evidence.size(); ++i)
        if (auto added = weights.add(rows, evidence, i); !added) return Unexpected{added.error()};
    return weights;
}

} // namespace chockside::isolate::detail
