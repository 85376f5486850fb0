#pragma once
// One job's reasoning as it grows: each answer costs one pass over the hypotheses, and the next check is looked for among those that
// matter. The same numbers as posterior() and, one check ahead, as next_checks().

#include <core/isolate/isolate.h>

#include <memory>

namespace chockside::isolate {

/// What is next, and what was left out of the looking.
struct Next {
    std::vector<NextCheck> checks; ///< worth most per minute first
    double loss = 0;               ///< expected loss of acting now, minutes
    double rest = 0;               ///< likelihood of the hypotheses that were not looked at; at most 0.001
    bool decide = false;           ///< nothing that can still be done before the decision point is worth its time: defer, ground or act
};

class Reasoner {
public:
    /// Codes: as posterior().
    static Result<Reasoner> make(Model);
    Reasoner(Reasoner&&) noexcept;
    Reasoner& operator=(Reasoner&&) noexcept;
    ~Reasoner();

    const Model& model() const;
    /// Codes: unknown_check, unknown_outcome; nothing changes then.
    Status add(const Evidence&);
    const std::vector<Evidence>& evidence() const;

    /// Of each cause, alone or in a pair; in the order of the model.
    std::vector<double> of_causes() const;
    /// Singles and pairs, likeliest first, as far as they hold `mass` of it all.
    std::vector<Likelihood> likelihood(double mass = 0.999) const;
    /// Everything, as posterior() says it; costs a pass an item.
    Result<Posterior> posterior() const;

    /// Up to `ahead` checks deep (1 or 2) on the eight that one look makes the best.
    Next next(const Situation&, const Costs&, Presence now, std::size_t most, int ahead = 2) const;

private:
    struct Inside;
    explicit Reasoner(std::unique_ptr<Inside>);
    std::unique_ptr<Inside> in_;
};

} // namespace chockside::isolate
