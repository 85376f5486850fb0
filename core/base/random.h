#pragma once

#include <cstddef>
#include <cstdint>
#include <span>

namespace chockside {

class Random {
public:
    virtual ~Random() = default;
    virtual void fill(std::span<std::byte> out) = 0;
};

/// Deterministic, for simulation and tests only (xoshiro256**, seeded by splitmix64; public-domain algorithms by Blackman and Vigna).
class SeededRandom final : public Random {
public:
    explicit SeededRandom(std::uint64_t seed);
    void fill(std::span<std::byte> out) override;
    std::uint64_t next();
    double uniform();                       ///< [0, 1)
    double uniform(double low, double high);
    double normal();                        ///< mean 0, standard deviation 1
    double normal(double mean, double sd) { return mean + sd * normal(); }
    std::size_t below(std::size_t n);       ///< 0 .. n-1, n > 0

private:
    std::uint64_t s_[4];
};

} // namespace chockside
