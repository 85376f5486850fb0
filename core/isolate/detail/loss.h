#pragma once
// What acting now may cost, and what one more check saves of it. Causes whose rows of a check are alike answer it alike: most causes answer
// most checks as a sound aircraft would, so only hypotheses with one that does not are touched.

#include <core/isolate/detail/remedy.h>
#include <core/isolate/detail/rows.h>

namespace chockside::isolate::detail {

/// What a check may show: a likelihood for each branch (an outcome, or a number at a ninth of a likely density) and each two kinds of causes.
struct Split {
    std::size_t kinds = 0;
    std::vector<std::uint16_t> of;            ///< kind of each cause
    std::uint16_t usual = 0;                  ///< the kind that most causes are of
    std::vector<std::size_t> unusual;         ///< the other causes
    std::vector<std::vector<double>> l;       ///< [branch][kind x kind]
    std::vector<std::uint16_t> drawn_from;    ///< numbers: the kind whose density the branch is a ninth of; empty for outcomes
};
Split split(const Rows&, std::size_t check, Presence);

/// The hypotheses that are looked at, and the remedies between which a decision is.
class Stand {
public:
    Stand(const Rows&, const Costs&, std::vector<std::size_t> hypotheses);

    /// Likelihoods in the order of this stand, out of those of all hypotheses; `mass` gets their sum, which is then 1.
    std::vector<double> p_of(std::span<const double> all, double& mass) const;
    /// Likelihoods laid out for many checks.
    struct Laid {
        std::vector<double> p, by_remedy, by_first; ///< per hypothesis, per remedy, per cause that stands first
        /// Expected loss of acting on a remedy drawn by its likelihood: sum of cost x p x (1 - p). Concave, so no check makes it worse.
        double loss = 0;
    };
    Laid lay(std::vector<double> p) const;
    double saved(const Split&, const Laid&) const;

    struct Branch {
        double chance = 0;
        std::vector<double> p;
    };
    std::vector<Branch> branches(const Split&, std::span<const double> p) const;

private:
    struct One {
        std::size_t hypothesis = 0, first = 0, second = 0, remedy = 0, other = 0;
    };
    double loss_of(std::span<const double> sums) const;
    /// Likelihood by remedy and kinds.
    void gather(const Split&, const Laid&, std::vector<double>& by_remedy) const;

    std::vector<One> ones_;
    std::vector<std::vector<std::uint32_t>> with_first_, with_second_; ///< per cause, the hypotheses of ones_; pairs alone in the second
    std::vector<double> costs_;
};

} // namespace chockside::isolate::detail
