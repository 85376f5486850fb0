#include <core/stats/counts.h>

#include <core/base/random.h>

#include <algorithm>
#include <cmath>
#include <numeric>
#include <vector>

namespace chockside::stats {
namespace {

constexpr double most_arrangements = 100000;

double choose(std::size_t n, std::size_t k)
{
    double c = 1;
    for (std::size_t i = 1; i <= k && c <= 2 * most_arrangements; ++i) c = c * static_cast<double>(n - k + i) / static_cast<double>(i);
    return c;
}

/// With the total fixed, the mean of a exceeds that of b by more exactly when the sum of a is larger: only sums are compared.
struct Pool {
    std::vector<double> values;
    std::size_t first = 0; ///< size of a
    double least_sum = 0;  ///< the observed sum of a, less what rounding may take
};

Pool pool(std::span<const double> a, std::span<const double> b)
{
    Pool p{{a.begin(), a.end()}, a.size(), 0};
    p.values.insert(p.values.end(), b.begin(), b.end());
    const double mean = std::accumulate(p.values.begin(), p.values.end(), 0.0) / static_cast<double>(p.values.size());
    double size = 0;
    for (auto& v : p.values) size += std::fabs(v -= mean);
    p.least_sum = std::accumulate(p.values.begin(), p.values.begin() + static_cast<std::ptrdiff_t>(a.size()), 0.0) - 1e-12 * size;
    return p;
}

PermutationP every_arrangement(const Pool& p)
{
    std::vector<std::size_t> at(p.first);
    std::iota(at.begin(), at.end(), std::size_t{0});
    const std::size_t n = p.values.size();
    std::int64_t hits = 0, all = 0;
    while (true) {
        double sum = 0;
        for (const auto i : at) sum += p.values[i];
        hits += sum >= p.least_sum;
        ++all;
        std::size_t k = p.first;
        while (k > 0 && at[k - 1] == n - p.first + k - 1) --k;
        if (k == 0) break;
        std::iota(at.begin() + static_cast<std::ptrdiff_t>(k) - 1, at.end(), at[k - 1] + 1);
    }
    return {static_cast<double>(hits) / static_cast<double>(all), 0, true, all};
}

PermutationP drawn_arrangements(Pool p, std::uint64_t seed, int draws)
{
    SeededRandom random(seed);
    std::int64_t hits = 0;
    for (int d = 0; d < draws; ++d) {
        double sum = 0;
        for (std::size_t i = 0; i < p.first; ++i) { // the first part of a Fisher-Yates shuffle
            std::swap(p.values[i], p.values[i + random.below(p.values.size() - i)]);
            sum += p.values[i];
        }
        hits += sum >= p.least_sum;
    }
    const double share = (static_cast<double>(hits) + 1) / (draws + 1.0);
    return {share, std::sqrt(share * (1 - share) / draws), false, draws};
}

} // namespace

Result<PermutationP> permutation_test(std::span<const double> a, std::span<const double> b, std::uint64_t seed, int draws)
{
    if (a.empty() || b.empty() || draws < 1) return fail("too_few_rows");
    for (const auto sample : {a, b})
        if (auto s = summarise(sample); !s) return Unexpected{s.error()};
    const Pool pooled = pool(a, b);
    if (choose(pooled.values.size(), a.size()) <= most_arrangements) return every_arrangement(pooled);
    return drawn_arrangements(pooled, seed, draws);
}

} // namespace chockside::stats
