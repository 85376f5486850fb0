#pragma once
// The reasoning of one policy in one job: a reasoner and what is read from it.

#include <core/campaign/policy.h>

namespace chockside::campaign {

class Mind {
public:
    static Result<Mind> make(const isolate::Model&);
    Status add(const isolate::Evidence& e) { return reasoner_.add(e); }
    const isolate::Model& model() const { return reasoner_.model(); }
    /// The likeliest act: units of one place count together, so do sensors and "none"; others alone.
    isolate::RemedyLikelihood likeliest() const { return reasoner_.remedies().front(); }
    std::vector<isolate::RemedyLikelihood> remedies() const { return reasoner_.remedies(); }
    /// Bits about the cause that each outcome of one more check brings, by the rows of the presence; a check that reads a number: none.
    double bits(const isolate::Check&, isolate::Presence) const;
    isolate::Plan next(const isolate::Situation&, const isolate::Costs&, isolate::Presence) const;
    isolate::Posterior posterior() const { return reasoner_.posterior(false); }
    const std::vector<isolate::Evidence>& evidence() const { return reasoner_.evidence(); }

private:
    explicit Mind(isolate::Reasoner r) : reasoner_(std::move(r)) {}
    isolate::Reasoner reasoner_;
};

} // namespace chockside::campaign
