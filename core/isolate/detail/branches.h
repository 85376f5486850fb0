#pragma once
// What one more check may show: each outcome with its chance and the likelihoods after it.

#include <core/isolate/detail/weigh.h>

namespace chockside::isolate::detail {

struct Branch {
    double chance = 0;
    std::vector<double> p; ///< per hypothesis
};

/// Outcomes where the check has them; else the number at nine equal shares of each likely cause's density. `p` is the present state.
std::vector<Branch> branches(const Rows&, std::size_t check, Presence now, std::span<const double> p);

/// Of a distribution, in bits.
double entropy_bits(std::span<const double> p);

} // namespace chockside::isolate::detail
