#pragma once
// Weights as what they say about causes, remedies, classes and places.

#include <core/isolate/detail/remedy.h>
#include <core/isolate/detail/weigh.h>

namespace chockside::isolate::detail {

/// Probability that each cause is at work, alone or one of two.
std::vector<double> of_causes(const Rows&, std::span<const double> p);
/// Which remedy each hypothesis is cured by, found once for many sets of weights.
class RemedySums {
public:
    explicit RemedySums(const Rows&);
    const std::vector<Remedy>& remedies() const { return all_; }
    /// Of each remedy; two causes of one count once.
    std::vector<double> of(std::span<const double> p) const;
    std::size_t owner(std::size_t cause) const { return owner_[cause]; }

private:
    const Rows& rows_;
    std::vector<Remedy> all_;
    std::vector<std::size_t> owner_;
};
/// The likelier of a remedy's causes.
std::size_t leading_cause(const Remedy&, const std::vector<double>& causes);
/// Sorted, likeliest first; two causes of one remedy count once.
std::vector<RemedyLikelihood> of_remedies(const Rows&, std::span<const double> p);
/// All of it; contributions cost one pass over the hypotheses for each item.
Posterior summary(const Rows&, const Weights&, std::span<const Evidence>, bool with_contributions);

} // namespace chockside::isolate::detail
