#include <core/base/random.h>

#include <bit>
#include <cmath>
#include <numbers>

namespace chockside {

SeededRandom::SeededRandom(std::uint64_t seed)
{
    for (auto& word : s_) { // splitmix64
        seed += 0x9E3779B97F4A7C15ull;
        std::uint64_t z = seed;
        z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9ull;
        z = (z ^ (z >> 27)) * 0x94D049BB133111EBull;
        word = z ^ (z >> 31);
    }
}

std::uint64_t SeededRandom::next()
{
    const std::uint64_t result = std::rotl(s_[1] * 5, 7) * 9;
    const std::uint64_t t = s_[1] << 17;
    s_[2] ^= s_[0];
    s_[3] ^= s_[1];
    s_[1] ^= s_[2];
    s_[0] ^= s_[3];
    s_[2] ^= t;
    s_[3] = std::rotl(s_[3], 45);
    return result;
}

void SeededRandom::fill(std::span<std::byte> out)
{
    for (std::size_t i = 0; i < out.size();) {
        std::uint64_t word = next();
        for (int k = 0; k < 8 && i < out.size(); ++k, word >>= 8) out[i++] = static_cast<std::byte>(word & 255);
    }
}

double SeededRandom::uniform()
{
    return static_cast<double>(next() >> 11) * 0x1.0p-53;
}

double SeededRandom::uniform(double low, double high)
{
    return low + (high - low) * uniform();
}

double SeededRandom::normal()
{
    const double u = 1.0 - uniform(), v = uniform();
    return std::sqrt(-2.0 * std::log(u)) * std::cos(2.0 * std::numbers::pi * v);
}

std::size_t SeededRandom::below(std::size_t n)
{
    return static_cast<std::size_t>(uniform() * static_cast<double>(n));
}

} // namespace chockside
