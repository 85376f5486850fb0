#include <core/isolate/detail/rows.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <numbers>
#include <tuple>

namespace chockside::isolate::detail {

namespace {

constexpr double least = 1e-300;

bool sound(const Density& d)
{
    const bool finite = std::isfinite(d.a) && std::isfinite(d.b);
    return finite && (d.kind == Density::Kind::normal ? d.b > 0 : d.a > 0 && d.b > 1);
}

bool sound(const Row& row, std::size_t outcomes)
{
    if (row.number && !sound(*row.number)) return false;
    if (row.outcomes.empty()) return row.number.has_value() || outcomes == 0;
    if (row.outcomes.size() != outcomes) return false;
    const bool fine = std::all_of(row.outcomes.begin(), row.outcomes.end(), [](double p) { return std::isfinite(p) && p >= 0; });
    return fine && std::any_of(row.outcomes.begin(), row.outcomes.end(), [](double p) { return p > 0; });
}

std::vector<double> clean(const Row& row, std::size_t outcomes, const Model& model)
{
    std::vector<double> p = row.outcomes;
    p.resize(outcomes, 1.0);
    double sum = 0;
    for (double v : p) sum += v;
    for (double& v : p) v = std::max({(1 - model.slip) * v / sum + model.slip / static_cast<double>(outcomes), model.floor, least});
    sum = 0;
    for (double v : p) sum += v;
    for (double& v : p) v /= sum;
    return p;
}

CleanRows clean(const std::vector<Row>& rows, const Check& check, const Model& model)
{
    CleanRows c;
    for (const Row& row : rows) {
        c.outcomes.push_back(clean(row, check.outcomes.size(), model));
        c.number.push_back(row.number);
    }
    return c;
}

/// Three times as wide as all rows together: mean and variance of the mixture, in logarithms where every row is lognormal.
Density wide(const Check& check)
{
    std::vector<Density> all;
    for (const auto* rows : {&check.given, &check.absent})
        for (const Row& row : *rows)
            if (row.number) all.push_back(*row.number);
    if (all.empty()) return {};
    const bool logs = std::all_of(all.begin(), all.end(), [](const Density& d) { return d.kind == Density::Kind::lognormal; });
    double mean = 0, square = 0;
    for (const Density& d : all) {
        const double m = logs ? std::log(d.a) : d.a, s = d.kind == Density::Kind::normal ? d.b : logs ? std::log(d.b) : d.a * std::log(d.b);
        mean += m / static_cast<double>(all.size());
        square += (m * m + s * s) / static_cast<double>(all.size());
    }
    const double sd = 3 * std::sqrt(std::max(square - mean * mean, 1e-12));
    return logs ? Density{Density::Kind::lognormal, std::exp(mean), std::exp(sd)} : Density{Density::Kind::normal, mean, sd};
}

Status check_rows(const Check& check, const Model& model)
{
    for (const auto* rows : {&check.given, &check.absent}) {
        if (rows == &check.absent && rows->empty()) continue;
        if (rows->size() != model.causes.size()) return fail("bad_row", check.id);
        for (std::size_t k = 0; k < rows->size(); ++k)
            if (!sound((*rows)[k], check.outcomes.size())) return fail("bad_row", check.id, {{"cause", model.causes[k].id}});
    }
    return {};
}

std::vector<Hypothesis> all_hypotheses(const Model& model)
{
    std::vector<Hypothesis> all;
    double sum = 0;
    for (const Cause& cause : model.causes) sum += cause.prior;
    for (std::size_t k = 0; k < model.causes.size(); ++k) all.push_back({k, k, std::log(model.causes[k].prior / sum)});
    if (model.pair_share <= 0) return all;
    const auto faulty = [&](std::size_t k) { return model.causes[k].cause_class != "none" && model.causes[k].cause_class != "unlisted"; };
    for (std::size_t i = 0; i < model.causes.size(); ++i)
        for (std::size_t j = i + 1; j < model.causes.size(); ++j)
            if (faulty(i) && faulty(j)) all.push_back({i, j, all[i].log_prior + all[j].log_prior + std::log(model.pair_share)});
    return all;
}

std::vector<std::uint16_t> alike(const CleanRows& rows)
{
    std::map<std::tuple<std::vector<double>, int, double, double>, std::uint16_t> numbers;
    std::vector<std::uint16_t> of;
    for (std::size_t k = 0; k < rows.outcomes.size(); ++k) {
        const auto& d = rows.number[k];
        const auto key = std::tuple(rows.outcomes[k], d ? static_cast<int>(d->kind) : -1, d ? d->a : 0.0, d ? d->b : 0.0);
        of.push_back(numbers.emplace(key, static_cast<std::uint16_t>(numbers.size())).first->second);
    }
    return of;
}

} // namespace

// Outcomes stand from most to least abnormal.
std::vector<double> more_abnormal(const std::vector<double>& a, const std::vector<double>& b)
{
    std::vector<double> p(a.size());
    double rest_a = 1, rest_b = 1;
    for (std::size_t o = 0; o < p.size(); ++o) {
        const double next_a = rest_a - a[o], next_b = rest_b - b[o];
        p[o] = std::max(rest_a * rest_b - next_a * next_b, least);
        rest_a = next_a;
        rest_b = next_b;
    }
    return p;
}

double score(const Density& d, double x)
{
    if (d.kind == Density::Kind::normal) return (x - d.a) / d.b;
    return (std::log(std::max(x, least)) - std::log(d.a)) / std::log(d.b);
}

double value_at(const Density& d, double z)
{
    return d.kind == Density::Kind::normal ? d.a + z * d.b : d.a * std::pow(d.b, z);
}

double density_at(const Density& d, double x)
{
    const double z = score(d, x);
    const double scale = d.kind == Density::Kind::normal ? d.b : std::max(x, least) * std::log(d.b);
    return std::exp(-z * z / 2) / (scale * std::sqrt(2 * std::numbers::pi));
}

Result<Rows> Rows::make(const Model& model)
{
    if (model.causes.empty()) return fail("no_causes");
    for (const Cause& cause : model.causes)
        if (!std::isfinite(cause.prior) || cause.prior <= 0) return fail("bad_prior", cause.id);
    Rows rows;
    rows.model_ = &model;
    for (const Check& check : model.checks) {
        if (auto fine = check_rows(check, model); !fine) return Unexpected{fine.error()};
        CleanCheck c{clean(check.given, check, model), clean(check.absent.empty() ? check.given : check.absent, check, model), wide(check)};
        rows.by_id_.emplace(check.id, rows.checks_.size());
        rows.alike_.emplace_back(alike(c.given), alike(c.absent));
        rows.checks_.push_back(std::move(c));
    }
    rows.hypotheses_ = all_hypotheses(model);
    return rows;
}

std::optional<std::size_t> Rows::check(const std::string& id) const
{
    const auto found = by_id_.find(id);
    return found == by_id_.end() ? std::nullopt : std::optional(found->second);
}

std::optional<std::size_t> Rows::outcome(std::size_t check, const std::string& id) const
{
    const auto& all = model_->checks[check].outcomes;
    const auto found = std::find(all.begin(), all.end(), id);
    return found == all.end() ? std::nullopt : std::optional(static_cast<std::size_t>(found - all.begin()));
}

double Rows::showing(Presence presence, std::size_t cause) const
{
    if (presence == Presence::showing) return 1;
    if (presence == Presence::absent) return 0;
    return model_->causes[cause].mode == "hard" ? 0.95 : 0.5;
}

std::vector<double> Rows::outcomes_of(std::size_t check, Presence presence, std::size_t cause) const
{
    const double w = showing(presence, cause);
    std::vector<double> p = checks_[check].given.outcomes[cause];
    const auto& absent = checks_[check].absent.outcomes[cause];
    for (std::size_t o = 0; o < p.size(); ++o) p[o] = w * p[o] + (1 - w) * absent[o];
    return p;
}

std::vector<double> Rows::outcomes(std::size_t check, Presence presence, const Hypothesis& h) const
{
    const auto first = outcomes_of(check, presence, h.first);
    return h.single() ? first : more_abnormal(first, outcomes_of(check, presence, h.second));
}

/// A pair shows outcome o or worse with one minus the chance that neither does: two tails a cause are enough.
std::vector<double> Rows::outcome_column(std::size_t check, Presence presence, std::size_t outcome) const
{
    const std::size_t n = model_->causes.size();
    std::vector<double> at(n), before(n), after(n);
    for (std::size_t k = 0; k < n; ++k) {
        const auto p = outcomes_of(check, presence, k);
        at[k] = p[outcome];
        before[k] = 1;
        for (std::size_t o = 0; o < outcome; ++o) before[k] -= p[o];
        after[k] = before[k] - p[outcome];
    }
    std::vector<double> column;
    column.reserve(hypotheses_.size());
    for (const Hypothesis& h : hypotheses_)
        column.push_back(h.single() ? at[h.first] : std::max(before[h.first] * before[h.second] - after[h.first] * after[h.second], least));
    return column;
}

std::vector<double> Rows::density_column(std::size_t check, Presence presence, double x) const
{
    std::vector<double> of(model_->causes.size());
    for (std::size_t k = 0; k < of.size(); ++k) of[k] = density_of(check, presence, k, x);
    std::vector<double> column;
    column.reserve(hypotheses_.size());
    for (const Hypothesis& h : hypotheses_) column.push_back(h.single() ? of[h.first] : (of[h.first] + of[h.second]) / 2);
    return column;
}

const std::optional<Density>& Rows::number(std::size_t check, Presence presence, std::size_t cause) const
{
    const CleanCheck& c = checks_[check];
    return (showing(presence, cause) >= 0.5 ? c.given : c.absent).number[cause];
}

bool Rows::has_number(std::size_t check) const
{
    const auto& rows = checks_[check].given.number;
    return std::any_of(rows.begin(), rows.end(), [](const auto& d) { return d.has_value(); });
}

double Rows::density_of(std::size_t check, Presence presence, std::size_t cause, double x) const
{
    const CleanCheck& c = checks_[check];
    const double slip = std::max({model_->slip * density_at(c.slip, x), model_->floor * 1e-6, least});
    const double w = showing(presence, cause);
    const auto part = [&](const CleanRows& rows) { return rows.number[cause] ? density_at(*rows.number[cause], x) : density_at(c.slip, x); };
    return (1 - model_->slip) * (w * part(c.given) + (1 - w) * part(c.absent)) + slip;
}

double Rows::density(std::size_t check, Presence presence, const Hypothesis& h, double x) const
{
    const double first = density_of(check, presence, h.first, x);
    return h.single() ? first : (first + density_of(check, presence, h.second, x)) / 2;
}

} // namespace chockside::isolate::detail
