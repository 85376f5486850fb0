#pragma once
// The present state as weights of single causes and of pairs, and what one more check would save there.
//
// Most causes answer most checks alike. A check is therefore worked out from the row that most causes share, once for all pairs by sums
// that are kept, and then for those causes only that answer otherwise: n x (unusual causes) steps instead of one per pair.

#include <core/isolate/detail/remedy.h>
#include <core/isolate/detail/weigh.h>

#include <array>

namespace chockside::isolate::detail {

/// Decision costs by remedy, in minutes.
struct Stakes {
    std::vector<double> cost;           ///< per remedy
    std::vector<std::size_t> owner;     ///< remedy of each cause
    static Stakes make(const Model&, const Costs&);
};

class Prospect {
public:
    /// All hypotheses of the likeliest causes whose hypotheses hold `share` of the mass.
    Prospect(const Rows&, const Stakes&, std::span<const double> logs, double share);
    std::size_t size() const { return hypotheses_; }
    double rest() const { return rest_; }
    double mass() const { return mass_; }   ///< 1, or the chance of what after() was told

    /// What a check shows under each cause kept: [cause][outcome]; of a number, shares of cells.
    struct Look {
        std::size_t check = 0, outcomes = 0;
        bool number = false;
        std::vector<double> l;
        std::array<std::size_t, 2> usual{};  ///< a cause of each group (hard, others) whose row most of the group share
        std::vector<std::size_t> unusual;
    };
    Look look(std::size_t check, Presence) const;

    /// How much of the expected loss the look is expected to save. Expected loss: of acting on a remedy drawn by its likelihood, the sum of
    /// cost x p x (1 - p). Concave, so no check makes it worse.
    double saved(const Look&) const;
    /// The state once this outcome was seen; its mass is the outcome's chance here.
    Prospect after(const Look&, std::size_t outcome) const;

private:
    void sum_up();
    std::vector<double> paired(const std::vector<double>& x, const Look&) const;
    std::vector<double> by_remedy(const std::vector<double>& alone, const std::vector<double>& of_pairs) const;
    void add_own_pairs(const Look&, std::size_t outcome, std::vector<double>& sums) const;
    double pair_shows(const Look&, std::size_t a, std::size_t b, std::size_t outcome) const;
    double loss_of(std::span<const double> sums, double total) const;
    double after_outcomes(const Look&) const;
    double after_number(const Look&) const;

    const Rows* rows_ = nullptr;
    const Stakes* stakes_ = nullptr;
    std::vector<std::size_t> cause_, owner_, group_;      ///< per cause kept
    std::vector<double> alone_, pair_;                    ///< weights: of a cause by itself; of two, symmetric, halved, [a * n + b]
    std::array<std::vector<double>, 2> pair_sum_;         ///< of each row of pair_, by the group of the other
    std::vector<double> sums_;                            ///< by remedy
    double mass_ = 0, rest_ = 0;
    std::size_t hypotheses_ = 0;
};

} // namespace chockside::isolate::detail
