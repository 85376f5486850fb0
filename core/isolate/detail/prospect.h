#pragma once
// The present state cut down to the hypotheses that matter, and what one more check would save there.

#include <core/isolate/detail/remedy.h>
#include <core/isolate/detail/weigh.h>

namespace chockside::isolate::detail {

/// Decision costs by remedy, in minutes.
struct Stakes {
    std::vector<double> cost;           ///< per remedy
    std::vector<std::size_t> owner;     ///< remedy of each cause
    static Stakes make(const Model&, const Costs&);
};

class Prospect {
public:
    /// The likeliest hypotheses that hold `share` of the mass, at most `most`.
    Prospect(const Rows&, const Stakes&, std::span<const double> logs, double share, std::size_t most);
    std::size_t size() const { return first_.size(); }
    double rest() const { return rest_; }
    const std::vector<double>& p() const { return p_; }

    /// Outcomes of a check under each hypothesis kept, [outcome][hypothesis].
    struct Seen {
        std::size_t outcomes = 0;
        std::vector<double> l;
    };
    Seen seen(std::size_t check, Presence) const;
    /// Expected loss of acting on a remedy drawn by its likelihood: sum of cost x p x (1 - p). Concave, so no check makes it worse.
    double loss(std::span<const double> p) const;
    /// How much of it one more look is expected to save, as things stand: one pass, nothing kept.
    double saved(std::size_t check, Presence) const;
    /// The same for weights p of their own, which need not sum to 1.
    double saved(const Seen&, std::span<const double> p) const;

private:
    const Rows& rows_;
    const Stakes& stakes_;
    double saved_by_tails(std::size_t check, Presence) const;
    double loss_of(std::span<const double> sums, double total) const;
    std::vector<std::size_t> first_, second_, owner_a_, owner_b_;
    std::vector<double> by_remedy_;     ///< sums of p_ by remedy, two causes half each
    std::vector<double> p_;
    double rest_ = 0;
};

} // namespace chockside::isolate::detail
