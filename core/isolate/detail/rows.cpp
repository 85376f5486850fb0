#include <core/isolate/detail/rows.h>

#include <algorithm>
#include <cmath>
#include <numbers>

namespace chockside::isolate {

double score(const Density& d, double x)
{
    if (d.kind == Density::Kind::normal) return (x - d.a) / d.b;
    return (std::log(std::max(x, 1e-300)) - std::log(d.a)) / std::log(d.b);
}

double shows(const std::string& mode)
{
    return mode == "hard" ? 0.95 : 0.5;
}

} // namespace chockside::isolate

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

std::optional<Density> foot(const Check& check)
{
    std::optional<Density> lowest;
    for (const auto* rows : {&check.given, &check.absent})
        for (const Row& row : *rows) {
            if (!row.number) continue;
            if (row.number->kind != Density::Kind::lognormal) return std::nullopt;
            if (!lowest || row.number->a < lowest->a) lowest = row.number;
        }
    return lowest;
}

/// Nothing, or less: no row of a lognormal scale reaches so low, and a meter that shows it has come to its end.
bool at_foot(const CleanCheck& c, double x)
{
    constexpr double below = -3;
    return c.foot && x <= value_at(*c.foot, below);
}

/// Such a reading says "at most what the lowest row reads", no more.
double weighed(const CleanCheck& c, const Density& d, double x)
{
    return at_foot(c, x) ? below_at(d, c.foot->a) : density_at(d, x);
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

/// The more abnormal of two independent draws: outcomes stand from most to least abnormal.
std::vector<double> of_two(const std::vector<double>& a, const std::vector<double>& b)
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

} // namespace

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

double below_at(const Density& d, double x)
{
    if (d.kind == Density::Kind::lognormal && x <= 0) return 0;
    return 0.5 * std::erfc(-score(d, x) / std::numbers::sqrt2);
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
        CleanCheck c{clean(check.given, check, model), clean(check.absent.empty() ? check.given : check.absent, check, model), wide(check), foot(check), {}};
        for (const auto& [two, p] : check.together) {
            if (two.first >= two.second || two.second >= model.causes.size() || !sound({p, {}}, check.outcomes.size())) return fail("bad_row", check.id);
            c.together.emplace(two, clean({p, {}}, check.outcomes.size(), model));
        }
        rows.by_id_.emplace(check.id, rows.checks_.size());
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
    return shows(model_->causes[cause].mode);
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
    if (!h.single())
        if (const auto own = checks_[check].together.find({h.first, h.second}); own != checks_[check].together.end()) return own->second;
    return h.single() ? first : of_two(first, outcomes_of(check, presence, h.second));
}

std::vector<double> Rows::log_outcome(std::size_t check, Presence presence, std::size_t outcome) const
{
    const std::size_t n = model_->causes.size();
    std::vector<double> before(n, 0.0), p(n);
    for (std::size_t k = 0; k < n; ++k) {
        const auto all = outcomes_of(check, presence, k);
        for (std::size_t o = 0; o < outcome; ++o) before[k] += all[o];
        p[k] = all[outcome];
    }
    std::vector<double> logs(hypotheses_.size());
    for (std::size_t i = 0; i < logs.size(); ++i) {
        const Hypothesis& h = hypotheses_[i];
        logs[i] = std::log(h.single() ? p[h.first] : std::max(more_abnormal(before[h.first], p[h.first], before[h.second], p[h.second]), least));
    }
    const auto& together = checks_[check].together;
    if (!together.empty())
        for (std::size_t i = 0; i < logs.size(); ++i)
            if (const auto own = together.find({hypotheses_[i].first, hypotheses_[i].second}); !hypotheses_[i].single() && own != together.end())
                logs[i] = std::log(own->second[outcome]);
    return logs;
}

std::vector<double> Rows::log_number(std::size_t check, Presence presence, double x) const
{
    std::vector<double> p(model_->causes.size());
    for (std::size_t k = 0; k < p.size(); ++k) p[k] = density_of(check, presence, k, x);
    std::vector<double> logs(hypotheses_.size());
    for (std::size_t i = 0; i < logs.size(); ++i) logs[i] = std::log((p[hypotheses_[i].first] + p[hypotheses_[i].second]) / 2);
    return logs;
}

std::vector<double> Rows::table(std::size_t check, Presence presence, std::size_t bins) const
{
    if (has_number(check)) return cells(check, presence, bins);
    const std::size_t n = model_->checks[check].outcomes.size();
    std::vector<double> all(n * model_->causes.size());
    for (std::size_t k = 0; k < model_->causes.size(); ++k) {
        const double w = showing(presence, k);
        const auto &given = checks_[check].given.outcomes[k], &absent = checks_[check].absent.outcomes[k];
        for (std::size_t o = 0; o < n; ++o) all[k * n + o] = w * given[o] + (1 - w) * absent[o];
    }
    return all;
}

/// Cells between equal standard scores of the widest density, from -1.2 to 1.2: all rows together lie within a third of its width.
std::vector<double> Rows::cells(std::size_t check, Presence presence, std::size_t bins) const
{
    const CleanCheck& c = checks_[check];
    std::vector<double> edges;
    for (std::size_t i = 1; i < bins; ++i) edges.push_back(value_at(c.slip, -1.2 + 2.4 * static_cast<double>(i) / static_cast<double>(bins)));
    std::map<std::pair<double, double>, std::vector<double>> seen; // most causes share a few densities
    const auto shares = [&](const Density& d) -> const std::vector<double>& {
        auto& s = seen[{d.kind == Density::Kind::normal ? d.a : -d.a, d.b}];
        for (double last = 0; s.size() < bins;) {
            const double next = s.size() < edges.size() ? below_at(d, edges[s.size()]) : 1;
            s.push_back(next - last);
            last = next;
        }
        return s;
    };
    std::vector<double> all;
    for (std::size_t k = 0; k < model_->causes.size(); ++k) {
        const double w = showing(presence, k);
        const auto &given = shares(c.given.number[k].value_or(c.slip)), &absent = shares(c.absent.number[k].value_or(c.slip)), &slip = shares(c.slip);
        for (std::size_t i = 0; i < bins; ++i) all.push_back((1 - model_->slip) * (w * given[i] + (1 - w) * absent[i]) + std::max(model_->slip * slip[i], 1e-9));
    }
    return all;
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

double Rows::slip_density(std::size_t check, double x) const
{
    return weighed(checks_[check], checks_[check].slip, x);
}

double Rows::scored(std::size_t check, double x) const
{
    const CleanCheck& c = checks_[check];
    return at_foot(c, x) ? c.foot->a : x;
}

double Rows::density_of(std::size_t check, Presence presence, std::size_t cause, double x) const
{
    const CleanCheck& c = checks_[check];
    const double slip = std::max({model_->slip * weighed(c, c.slip, x), model_->floor * 1e-6, least});
    const double w = showing(presence, cause);
    const auto part = [&](const CleanRows& rows) { return weighed(c, rows.number[cause].value_or(c.slip), x); };
    return (1 - model_->slip) * (w * part(c.given) + (1 - w) * part(c.absent)) + slip;
}

double Rows::density(std::size_t check, Presence presence, const Hypothesis& h, double x) const
{
    const double first = density_of(check, presence, h.first, x);
    return h.single() ? first : (first + density_of(check, presence, h.second, x)) / 2;
}

} // namespace chockside::isolate::detail
