#include <core/isolate/detail/branches.h>

#include <array>
#include <cmath>

namespace chockside::isolate::detail {

namespace {

// Standard scores at the middle of nine equal shares of a normal distribution.
constexpr std::array<double, 9> shares{-1.5932, -0.9674, -0.5895, -0.2822, 0, 0.2822, 0.5895, 0.9674, 1.5932};
constexpr double negligible = 1e-4;

Branch after(std::span<const double> p, const std::vector<double>& l)
{
    Branch b;
    for (std::size_t k = 0; k < p.size(); ++k) {
        b.p.push_back(p[k] * l[k]);
        b.chance += b.p.back();
    }
    if (b.chance > 0)
        for (double& v : b.p) v /= b.chance;
    return b;
}

std::vector<Branch> by_outcome(const Rows& rows, std::size_t check, Presence now, std::span<const double> p)
{
    std::vector<std::vector<double>> tables;
    for (const Hypothesis& h : rows.hypotheses()) tables.push_back(rows.outcomes(check, now, h));
    std::vector<Branch> all;
    for (std::size_t o = 0; o < rows.model().checks[check].outcomes.size(); ++o) {
        std::vector<double> l;
        for (const auto& table : tables) l.push_back(table[o]);
        all.push_back(after(p, l));
    }
    return all;
}

std::vector<Branch> by_number(const Rows& rows, std::size_t check, Presence now, std::span<const double> p)
{
    std::vector<Branch> all;
    const auto& hypotheses = rows.hypotheses();
    for (std::size_t k = 0; k < p.size(); ++k) {
        const auto& density = rows.number(check, now, hypotheses[k].first);
        if (p[k] < negligible || !density) continue;
        for (double z : shares) {
            std::vector<double> l;
            for (const Hypothesis& h : hypotheses) l.push_back(rows.density(check, now, h, value_at(*density, z)));
            Branch b = after(p, l);
            b.chance = p[k] / static_cast<double>(shares.size());
            all.push_back(std::move(b));
        }
    }
    return all;
}

} // namespace

std::vector<Branch> branches(const Rows& rows, std::size_t check, Presence now, std::span<const double> p)
{
    return rows.has_number(check) ? by_number(rows, check, now, p) : by_outcome(rows, check, now, p);
}

double entropy_bits(std::span<const double> p)
{
    double bits = 0;
    for (double v : p)
        if (v > 0) bits -= v * std::log2(v);
    return bits;
}

} // namespace chockside::isolate::detail
