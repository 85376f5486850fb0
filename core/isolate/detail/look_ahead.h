#pragma once
// Which check next: one look at every check, a second one from each of the best eight.

#include <core/isolate/detail/loss.h>
#include <core/isolate/reasoner.h>

namespace chockside::isolate::detail {

/// Indices, likeliest first, until they hold `mass`.
std::vector<std::size_t> likeliest(std::span<const double> p, double mass);

Next look_ahead(const Rows&, const std::vector<double>& p, const Situation&, const Costs&, Presence now, std::size_t most, int ahead, double mass);

} // namespace chockside::isolate::detail
