#include <core/isolate/detail/weigh.h>

#include <algorithm>
#include <cmath>
#include <tuple>

namespace chockside::isolate::detail {

namespace {

constexpr double disturbed_weighs = 0.2;

using State = std::tuple<std::string, Presence, std::set<std::string>>;

State state_of(const Evidence& e)
{
    return {e.check, e.presence, {e.disturbed_before.begin(), e.disturbed_before.end()}};
}

/// Index of the latest item of each state.
std::set<std::size_t> latest(std::span<const Evidence> evidence)
{
    std::map<State, std::size_t> last;
    for (std::size_t i = 0; i < evidence.size(); ++i) last[state_of(evidence[i])] = i;
    std::set<std::size_t> kept;
    for (const auto& [state, i] : last) kept.insert(i);
    return kept;
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

} // namespace

Result<Item> read(const Rows& rows, const Evidence& e, std::size_t index)
{
    const auto check = rows.check(e.check);
    if (!check) return fail("unknown_check", e.id, {{"check", e.check}});
    Item item{index, *check, e.presence, rows.outcome(*check, e.outcome), e.number.value_or(0), true, {}};
    if (!item.outcome && (!e.outcome.empty() || !e.number || !std::isfinite(*e.number) || !rows.has_number(*check)))
        return fail("unknown_outcome", e.id, {{"check", e.check}, {"outcome", e.outcome}});
    item.log_l = item.outcome ? rows.outcome_column(*check, e.presence, *item.outcome) : rows.density_column(*check, e.presence, item.number);
    // Unsure: as likely any outcome as this one.
    const double sure = item.outcome ? std::clamp(e.certainty, 0.0, 1.0) : 1, any = 1 / std::max(1.0, static_cast<double>(rows.model().checks[*check].outcomes.size()));
    for (double& l : item.log_l) l = std::log(sure * l + (1 - sure) * any);
    if (!e.disturbed_before.empty()) soften(rows, e, item.log_l);
    return item;
}

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

namespace {

void one_leader(const Rows& rows, std::vector<Item>& items)
{
    std::map<std::string, std::size_t> leader;
    for (std::size_t i = 0; i < items.size(); ++i) {
        const std::string& group = rows.model().checks[items[i].check].group;
        if (group.empty()) continue;
        const auto [at, first] = leader.emplace(group, i);
        if (!first && strength(rows, items[i]) > strength(rows, items[at->second])) at->second = i;
    }
    for (std::size_t i = 0; i < items.size(); ++i) {
        const std::string& group = rows.model().checks[items[i].check].group;
        if (group.empty() || leader[group] == i) continue;
        items[i].leads = false;
        for (double& l : items[i].log_l) l *= followers_weigh;
    }
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

std::vector<double> log_joint(const Rows& rows, std::span<const Item> items)
{
    std::vector<double> logs;
    for (const Hypothesis& h : rows.hypotheses()) logs.push_back(h.log_prior);
    for (const Item& item : items)
        for (std::size_t k = 0; k < logs.size(); ++k) logs[k] += item.log_l[k];
    return logs;
}

Result<std::vector<Item>> weigh(const Rows& rows, std::span<const Evidence> evidence)
{
    const auto kept = latest(evidence);
    std::vector<Item> items;
    for (std::size_t i = 0; i < evidence.size(); ++i) {
        auto item = read(rows, evidence[i], i);
        if (!item) return Unexpected{item.error()};
        if (kept.contains(i)) items.push_back(std::move(*item));
    }
    one_leader(rows, items);
    return items;
}

} // namespace chockside::isolate::detail
