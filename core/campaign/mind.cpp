#include <core/campaign/mind.h>

#include <cmath>

namespace chockside::campaign {

Result<Mind> Mind::make(const isolate::Model& model)
{
    auto reasoner = isolate::Reasoner::make(model);
    if (!reasoner) return Unexpected{reasoner.error()};
    return Mind(std::move(*reasoner));
}

double Mind::bits(const isolate::Check& check, isolate::Presence now) const
{
    const auto& rows = now == isolate::Presence::absent && !check.absent.empty() ? check.absent : check.given;
    const auto p = reasoner_.causes();
    double sum = 0, all = 0;
    for (const double q : p) all += q;
    for (std::size_t o = 0; o < check.outcomes.size(); ++o) {
        double marginal = 0;
        for (std::size_t k = 0; k < p.size(); ++k) marginal += p[k] / all * rows[k].outcomes[o];
        for (std::size_t k = 0; k < p.size(); ++k)
            if (const double l = rows[k].outcomes[o]; l > 0 && marginal > 0) sum += p[k] / all * l * std::log2(l / marginal);
    }
    return sum;
}

isolate::Plan Mind::next(const isolate::Situation& s, const isolate::Costs& c, isolate::Presence now) const
{
    return isolate::plan(reasoner_, s, c, now, 4);
}

} // namespace chockside::campaign
