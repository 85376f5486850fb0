#include <core/job/unlisted.h>

#include <algorithm>
#include <map>

namespace chockside::job {

namespace {

using isolate::Row;

bool has_own_row(const std::vector<profile::CheckRow>& rows, const profile::Cause& cause)
{
    return std::any_of(rows.begin(), rows.end(), [&](const auto& r) { return r.of == cause.id || r.of == "class:unlisted"; });
}

bool has_own_rows(const profile::Installation& in, const profile::Cause& cause)
{
    return std::any_of(in.checks.begin(), in.checks.end(), [&](const auto& check) { return has_own_row(check.given, cause); });
}

bool listed(const isolate::Cause& c) { return c.cause_class != "unlisted" && c.cause_class != "none"; }

/// `like`: a class, or empty for all. A hard cause is seldom met absent, the others as often as not.
std::vector<double> average(const std::vector<Row>& rows, const std::vector<isolate::Cause>& causes, const std::string& like, bool showing)
{
    std::vector<double> sum(rows.front().outcomes.size(), 0.0);
    double all = 0;
    for (std::size_t k = 0; k < causes.size(); ++k) {
        if (rows[k].outcomes.size() != sum.size() || !listed(causes[k]) || (!like.empty() && causes[k].cause_class != like)) continue;
        const double met = isolate::shows(causes[k].mode), weight = causes[k].prior * (showing ? met : 1 - met);
        all += weight;
        for (std::size_t o = 0; o < sum.size(); ++o) sum[o] += weight * rows[k].outcomes[o];
    }
    for (double& p : sum) p = all > 0 ? p / all : 1 / static_cast<double>(sum.size()); // no row fits: it tells nothing
    return sum;
}

std::map<std::string, double> mass_by_class(const isolate::Model& model)
{
    std::map<std::string, double> mass;
    double all = 0;
    for (const auto& c : model.causes)
        if (listed(c)) mass[c.cause_class] += c.prior, all += c.prior;
    for (auto& [name, p] : mass) p /= all;
    return mass;
}

void add_companion(isolate::Model& model, std::size_t unlisted, const std::string& like, double prior)
{
    const std::vector<isolate::Cause> before = model.causes;
    model.causes.push_back({before[unlisted].id + "_" + like, "unlisted", {}, prior, "intermittent"});
    for (auto& check : model.checks) {
        const auto add = [&](std::vector<Row>& rows, bool showing) {
            Row row = rows[unlisted];
            if (!row.outcomes.empty()) row.outcomes = average(rows, before, like, showing);
            rows.push_back(std::move(row));
        };
        add(check.given, true);
        if (!check.absent.empty()) add(check.absent, false);
    }
}

} // namespace

void open_list(isolate::Model& model, const profile::Installation& in)
{
    constexpr double companions = 0.75;
    const auto mass = mass_by_class(model);
    if (mass.empty()) return;
    for (std::size_t k = 0; k < in.causes.size(); ++k) {
        if (in.causes[k].cause_class != profile::CauseClass::unlisted || has_own_rows(in, in.causes[k])) continue;
        for (auto& check : model.checks) {
            if (check.outcomes.empty()) continue;
            check.given[k].outcomes = average(check.given, model.causes, {}, true);
            if (!check.absent.empty()) check.absent[k].outcomes = average(check.absent, model.causes, {}, false);
        }
        const double prior = model.causes[k].prior;
        for (const auto& [like, share] : mass) add_companion(model, k, like, companions * prior * share);
        model.causes[k].prior = (1 - companions) * prior;
    }
}

} // namespace chockside::job
