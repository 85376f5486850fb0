#include <core/isolate/reasoner.h>

#include <core/isolate/detail/look_ahead.h>
#include <core/isolate/detail/weigh.h>

#include <algorithm>
#include <cmath>
#include <numeric>
#include <tuple>

namespace chockside::isolate {

namespace {

using detail::Hypothesis;
using detail::Item;
using State = std::tuple<std::string, Presence, std::set<std::string>>;

State state_of(const Evidence& e)
{
    return {e.check, e.presence, {e.disturbed_before.begin(), e.disturbed_before.end()}};
}

constexpr double looked_at = 0.999;

} // namespace

struct Reasoner::Inside {
    /// What of an answer stays in the sum: its logarithms are worked out again where they have to go.
    struct Kept {
        std::size_t evidence = 0;
        std::string group;
        double strength = 0, weighs = 1;
    };

    Model model;
    detail::Rows rows;
    std::vector<double> logs;
    std::vector<Evidence> evidence;
    std::map<State, Kept> kept;

    void take(const Item& item, double weight)
    {
        for (std::size_t k = 0; k < logs.size(); ++k) logs[k] += weight * item.log_l[k];
    }
    void shift(Kept& of, double weight)
    {
        if (of.weighs == weight) return;
        take(*detail::read(rows, evidence[of.evidence], of.evidence), weight - of.weighs); // was read before
        of.weighs = weight;
    }
    /// Of the items of one event the strongest counts whole, the first of equals.
    void settle(const std::string& group)
    {
        if (group.empty()) return;
        Kept* leads = nullptr;
        for (auto& [state, k] : kept)
            if (k.group == group && (!leads || k.strength > leads->strength || (k.strength == leads->strength && k.evidence < leads->evidence))) leads = &k;
        for (auto& [state, k] : kept)
            if (k.group == group) shift(k, &k == leads ? 1 : detail::followers_weigh);
    }
};

Reasoner::Reasoner(std::unique_ptr<Inside> inside) : in_(std::move(inside)) {}
Reasoner::Reasoner(Reasoner&&) noexcept = default;
Reasoner& Reasoner::operator=(Reasoner&&) noexcept = default;
Reasoner::~Reasoner() = default;

Result<Reasoner> Reasoner::make(Model model)
{
    auto in = std::make_unique<Inside>();
    in->model = std::move(model);
    auto rows = detail::Rows::make(in->model);
    if (!rows) return Unexpected{rows.error()};
    in->rows = std::move(*rows);
    in->logs = detail::log_joint(in->rows, {});
    return Reasoner(std::move(in));
}

const Model& Reasoner::model() const { return in_->model; }
const std::vector<Evidence>& Reasoner::evidence() const { return in_->evidence; }

Status Reasoner::add(const Evidence& e)
{
    Inside& in = *in_;
    auto item = detail::read(in.rows, e, in.evidence.size());
    if (!item) return Unexpected{item.error()};
    const std::string& group = in.model.checks[item->check].group;
    const double strength = group.empty() ? 0 : detail::strength(in.rows, *item);
    auto [at, fresh] = in.kept.try_emplace(state_of(e));
    if (!fresh) in.take(*detail::read(in.rows, in.evidence[at->second.evidence], at->second.evidence), -at->second.weighs);
    at->second = {in.evidence.size(), group, strength, 1};
    in.evidence.push_back(e);
    in.take(*item, 1);
    in.settle(group);
    return {};
}

std::vector<double> Reasoner::of_causes() const
{
    const auto p = detail::normalised(in_->logs);
    std::vector<double> of(in_->model.causes.size(), 0.0);
    for (std::size_t k = 0; k < p.size(); ++k) {
        const Hypothesis& h = in_->rows.hypotheses()[k];
        of[h.first] += p[k];
        if (!h.single()) of[h.second] += p[k];
    }
    return of;
}

std::vector<Likelihood> Reasoner::likelihood(double mass) const
{
    const auto p = detail::normalised(in_->logs);
    std::vector<Likelihood> all;
    for (const std::size_t k : detail::likeliest(p, mass)) {
        const Hypothesis& h = in_->rows.hypotheses()[k];
        all.push_back({{in_->model.causes[h.first].id}, p[k]});
        if (!h.single()) all.back().causes.push_back(in_->model.causes[h.second].id);
    }
    return all;
}

Result<Posterior> Reasoner::posterior() const
{
    return isolate::posterior(in_->model, in_->evidence);
}

Next Reasoner::next(const Situation& situation, const Costs& costs, Presence now, std::size_t most, int ahead) const
{
    return detail::look_ahead(in_->rows, detail::normalised(in_->logs), situation, costs, now, most, ahead, looked_at);
}

} // namespace chockside::isolate
