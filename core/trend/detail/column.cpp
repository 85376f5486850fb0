#include <core/trend/detail/column.h>

#include <algorithm>
#include <bit>
#include <numeric>

namespace chockside::trend::detail {

namespace {

enum Mode : std::uint8_t { above_least, twice, changed_bits, mode_mask = 3, parity_dropped = 4 };

constexpr std::uint64_t zigzag(std::uint64_t d) { return d << 1 ^ (d >> 63 ? ~std::uint64_t{0} : 0); }
constexpr std::uint64_t unzigzag(std::uint64_t z) { return z >> 1 ^ (z & 1 ? ~std::uint64_t{0} : 0); }

bool all_odd_words(std::span<const std::uint64_t> v)
{
    std::uint64_t high = 0, even = 0;
    for (const std::uint64_t x : v) {
        high |= x >> 32;
        even |= ~static_cast<std::uint64_t>(std::popcount(x)) & 1u;
    }
    return high == 0 && even == 0;
}

/// Bits that a column takes, roughly: what decides between the modes.
std::uint64_t weight(const Whole& v)
{
    std::uint64_t sum = 0;
    for (const std::uint64_t x : v) sum += static_cast<std::uint64_t>(std::bit_width(x));
    return sum;
}

/// The greatest common factor; 1 where there is none. Divisions of 32 bits where they do.
std::uint64_t factor_of(const Whole& v)
{
    std::uint64_t g = 0, all = 0;
    for (const std::uint64_t x : v) all |= x;
    const bool narrow = all >> 32 == 0;
    for (const std::uint64_t x : v) {
        if (x == 0) continue;
        if (g != 0 && (narrow ? static_cast<std::uint32_t>(x) % static_cast<std::uint32_t>(g) == 0 : x % g == 0)) continue;
        g = std::gcd(g, x);
        if (g == 1) return 1;
    }
    return g == 0 ? 1 : g;
}

void divide(Whole& v, std::uint64_t by)
{
    if (by == 1) return;
    if (std::has_single_bit(by)) {
        const int shift = std::countr_zero(by);
        for (std::uint64_t& x : v) x >>= shift;
        return;
    }
    for (std::uint64_t& x : v) x = x >> 32 == 0 && by >> 32 == 0 ? static_cast<std::uint32_t>(x) / static_cast<std::uint32_t>(by) : x / by;
}

void put_planes(const Whole& v, Bytes& out)
{
    std::uint64_t all = 0;
    for (const std::uint64_t x : v) all |= x;
    const auto planes = static_cast<std::size_t>(std::bit_width(all) + 7) / 8;
    out.push_back(static_cast<std::byte>(planes));
    const std::size_t at = out.size();
    out.resize(at + planes * v.size());
    for (std::size_t p = 0; p < planes; ++p) {
        std::byte* to = out.data() + at + p * v.size();
        for (std::size_t i = 0; i < v.size(); ++i) to[i] = static_cast<std::byte>(v[i] >> 8 * p);
    }
}

bool take_planes(ByteView& in, std::size_t n, Whole& v)
{
    if (in.empty()) return false;
    const auto planes = std::to_integer<std::size_t>(in[0]);
    in = in.subspan(1);
    if (planes > 8 || in.size() < planes * n) return false;
    v.assign(n, 0);
    for (std::size_t p = 0; p < planes; ++p)
        for (std::size_t i = 0; i < n; ++i) v[i] |= std::to_integer<std::uint64_t>(in[p * n + i]) << 8 * p;
    in = in.subspan(planes * n);
    return true;
}

struct Steps {
    Whole steps;
    std::uint64_t base = 0; ///< least difference, or first difference
};

Steps steps_of(std::span<const std::uint64_t> v, Mode mode)
{
    Steps s;
    const std::size_t n = v.size() - 1;
    s.steps.resize(n);
    if (n == 0) return s;
    if (mode == changed_bits) {
        for (std::size_t i = 0; i < n; ++i) s.steps[i] = v[i + 1] ^ v[i];
    } else if (mode == above_least) {
        auto least = static_cast<std::int64_t>(v[1] - v[0]);
        for (std::size_t i = 0; i < n; ++i) least = std::min(least, static_cast<std::int64_t>(s.steps[i] = v[i + 1] - v[i]));
        s.base = static_cast<std::uint64_t>(least);
        for (std::uint64_t& x : s.steps) x -= s.base;
    } else {
        s.base = v[1] - v[0];
        for (std::size_t i = 1; i < n; ++i) s.steps[i] = zigzag(v[i + 1] - v[i] - (v[i] - v[i - 1]));
    }
    return s;
}

/// The mode is chosen by the beginning of the column: any of them is right, and looking at all of it cost as much as all the rest.
constexpr std::size_t looked_at = 256;

Mode lightest(std::span<const std::uint64_t> v)
{
    Mode chosen = above_least;
    std::uint64_t least = ~std::uint64_t{0};
    for (const Mode mode : {above_least, twice, changed_bits}) {
        const std::uint64_t w = weight(steps_of(v, mode).steps);
        if (w < least) least = w, chosen = mode;
    }
    return chosen;
}

void add_steps(Whole& v, std::uint64_t first, const Whole& steps, std::uint64_t base, Mode mode)
{
    v.resize(steps.size() + 1);
    v[0] = first;
    std::uint64_t run = base;
    for (std::size_t i = 0; i < steps.size(); ++i) {
        if (mode == twice) run += unzigzag(steps[i]);
        v[i + 1] = mode == changed_bits ? v[i] ^ steps[i] : v[i] + (mode == twice ? run : steps[i] + base);
    }
}

} // namespace

void put_column(std::span<const std::uint64_t> numbers, Bytes& out)
{
    if (numbers.empty()) return;
    Whole bare;
    std::uint8_t flags = 0;
    if (all_odd_words(numbers)) {
        bare.resize(numbers.size());
        std::transform(numbers.begin(), numbers.end(), bare.begin(), [](std::uint64_t x) { return x & 0x7FFFFFFFu; });
        numbers = bare;
        flags = parity_dropped;
    }
    const Mode chosen = lightest(numbers.first(std::min(numbers.size(), looked_at)));
    Steps best = steps_of(numbers, chosen);
    const std::uint64_t factor = factor_of(best.steps);
    divide(best.steps, factor);
    out.push_back(static_cast<std::byte>(chosen | flags));
    put_u64(numbers[0], 8, out);
    put_u64(best.base, 8, out);
    put_u64(factor, 8, out);
    put_planes(best.steps, out);
}

bool take_column(ByteView& in, std::size_t n, Whole& numbers)
{
    numbers.clear();
    if (n == 0) return true;
    std::uint64_t mode = 0, first = 0, base = 0, factor = 0;
    if (n > longest_column || !take_u64(in, 1, mode) || !take_u64(in, 8, first) || !take_u64(in, 8, base) || !take_u64(in, 8, factor)) return false;
    Whole steps;
    if ((mode & mode_mask) > changed_bits || mode > 7 || !take_planes(in, n - 1, steps)) return false;
    if (factor != 1)
        for (std::uint64_t& x : steps) x *= factor;
    add_steps(numbers, first, steps, base, static_cast<Mode>(mode & mode_mask));
    if (mode & parity_dropped)
        for (std::uint64_t& x : numbers) x |= std::popcount(x) & 1 ? 0u : std::uint64_t{0x80000000u};
    return true;
}

void put_u64(std::uint64_t v, std::size_t bytes, Bytes& out)
{
    for (std::size_t i = 0; i < bytes; ++i) out.push_back(static_cast<std::byte>(v >> 8 * i));
}

bool take_u64(ByteView& in, std::size_t bytes, std::uint64_t& v)
{
    if (in.size() < bytes) return false;
    v = 0;
    for (std::size_t i = 0; i < bytes; ++i) v |= std::to_integer<std::uint64_t>(in[i]) << 8 * i;
    in = in.subspan(bytes);
    return true;
}

} // namespace chockside::trend::detail
