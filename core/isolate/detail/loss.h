#pragma once
// What acting now may cost, and what one more check saves of it.

#include <core/isolate/detail/remedy.h>
#include <core/isolate/detail/rows.h>

namespace chockside::isolate::detail {

/// Expected loss of acting on a remedy drawn by its likelihood: sum of cost x p x (1 - p). Concave, so no check makes it worse.
class Loss {
public:
    /// `hypotheses`: those that are looked at, indices into Rows::hypotheses().
    Loss(const Rows&, const Costs&, std::vector<std::size_t> hypotheses);

    const std::vector<std::size_t>& hypotheses() const { return hypotheses_; }
    /// `p` need not sum to 1; the loss is of the normalised one.
    double of(std::span<const double> p) const;

private:
    std::vector<std::size_t> hypotheses_;
    std::vector<double> costs_;
    std::vector<std::pair<std::size_t, std::size_t>> owners_; ///< remedies of the two causes, per hypothesis
    mutable std::vector<double> sums_;
};

/// What a check may show under each hypothesis that is looked at: [branch][hypothesis] likelihood, and how often the branch comes where it
/// is not their own (numbers: nine equal shares of each density).
struct Shows {
    std::vector<std::vector<double>> l;
    std::vector<double> share;             ///< empty: outcomes, whose chances are those of their likelihoods
    std::vector<std::vector<std::size_t>> owners; ///< numbers: hypotheses whose density the branch is drawn from
};
Shows shows(const Rows&, std::size_t check, Presence, const std::vector<std::size_t>& hypotheses);

/// Chance of a branch at the present p (normalised), and p after it, not normalised.
double after(const Shows&, std::size_t branch, std::span<const double> p, std::vector<double>& out);

/// Expected loss saved by the check.
double saved(const Loss&, const Shows&, std::span<const double> p, double loss_now);

} // namespace chockside::isolate::detail
