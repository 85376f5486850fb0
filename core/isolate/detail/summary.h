#pragma once
// Weights as what they say about causes, remedies, classes and places.

#include <core/isolate/detail/remedy.h>
#include <core/isolate/detail/weigh.h>

namespace chockside::isolate::detail {

/// Probability that each cause is at work, alone or one of two.
std::vector<double> of_causes(const Rows&, std::span<const double> p);
/// Sorted, likeliest first; two causes of one remedy count once.
std::vector<RemedyLikelihood> of_remedies(const Rows&, std::span<const double> p);
/// All of it; contributions cost one pass over the hypotheses for each item.
Posterior summary(const Rows&, const Weights&, std::span<const Evidence>, bool with_contributions);

} // namespace chockside::isolate::detail
