// Predictive check: would a job with this cause often show evidence as odd as this? Oddness of an outcome is -log of its probability,
// of a number half its squared score; the distribution of the sum is worked out on a grid, item by item.
#include <core/isolate/detail/weigh.h>

#include <algorithm>
#include <array>
#include <cmath>

namespace chockside::isolate::detail {

namespace {

constexpr double bin = 0.05, most_odd = 8;
constexpr double likely = 0.01;

struct Oddness {
    double seen = 0;
    std::vector<std::pair<double, double>> could; ///< oddness, probability
};

// Midpoints of twenty equal shares of a squared standard score, halved (quantiles of chi-square with one degree of freedom).
constexpr std::array<double, 20> half_squares{0.00049, 0.00443, 0.01237, 0.02445, 0.04085, 0.06188, 0.08790, 0.11945, 0.15719, 0.20203,
    0.25516, 0.31822, 0.39351, 0.48436, 0.59582, 0.73610, 0.91979, 1.17676, 1.58503, 2.51194};

Oddness of_number(const Rows& rows, const Item& item, std::size_t cause)
{
    Oddness o;
    const auto& density = rows.number(item.check, item.presence, cause);
    if (!density) return o;
    const double z = score(*density, item.number), slip = rows.model().slip;
    o.seen = std::min(z * z / 2, most_odd);
    for (double h : half_squares) o.could.emplace_back(h, (1 - slip) / static_cast<double>(half_squares.size()));
    o.could.emplace_back(most_odd, slip);
    return o;
}

Oddness of_item(const Rows& rows, const Item& item, const Hypothesis& h)
{
    if (!item.outcome) return of_number(rows, item, h.first);
    Oddness o;
    const auto p = rows.outcomes(item.check, item.presence, h);
    o.seen = std::min(-std::log(p[*item.outcome]), most_odd);
    for (double v : p) o.could.emplace_back(std::min(-std::log(v), most_odd), v);
    return o;
}

/// Chance that the sum of oddness is at least what was seen.
double tail(const std::vector<Oddness>& items)
{
    double seen = 0;
    const auto place = [](double x) { return static_cast<std::size_t>(std::lround(x / bin)); };
    std::size_t seen_bins = 0;
    std::vector<double> grid(1, 1.0);
    for (const Oddness& o : items) {
        if (o.could.empty()) continue;
        seen += o.seen;
        seen_bins += place(o.seen);
        std::vector<double> next(grid.size() + place(most_odd), 0.0);
        for (const auto& [odd, p] : o.could)
            for (std::size_t i = 0; i < grid.size(); ++i) next[i + place(odd)] += grid[i] * p;
        grid = std::move(next);
    }
    double p = 0;
    for (std::size_t i = seen_bins; i < grid.size(); ++i) p += grid[i];
    return seen > 0 ? std::min(p, 1.0) : 1.0;
}

/// A good reading at a disturbed place says little, so it cannot be odd either.
bool spoiled(const Rows& rows, const Evidence& e, const Hypothesis& h)
{
    if (const auto check = rows.check(e.check); check && rows.model().checks[*check].lasting) return false;
    const auto there = [&](std::size_t cause) {
        const std::string& place = rows.model().causes[cause].place;
        return std::find(e.disturbed_before.begin(), e.disturbed_before.end(), place) != e.disturbed_before.end();
    };
    return there(h.first) || there(h.second);
}

bool listed(const Rows& rows, const Hypothesis& h)
{
    return rows.model().causes[h.first].cause_class != "unlisted";
}

} // namespace

double misfit(const Rows& rows, std::span<const Item> items, std::span<const Evidence> evidence, std::span<const double> p)
{
    double all_listed = 0, fits = 0, weight = 0;
    for (std::size_t k = 0; k < p.size(); ++k)
        if (listed(rows, rows.hypotheses()[k])) all_listed += p[k];
    for (std::size_t k = 0; k < p.size(); ++k) {
        const Hypothesis& h = rows.hypotheses()[k];
        if (!listed(rows, h) || p[k] < likely * all_listed) continue;
        std::vector<Oddness> all;
        for (const Item& item : items)
            if (item.counts && item.leads && !spoiled(rows, evidence[item.evidence], h)) all.push_back(of_item(rows, item, h));
        fits += p[k] * tail(all);
        weight += p[k];
    }
    return weight > 0 ? 1 - fits / weight : 0;
}

} // namespace chockside::isolate::detail
