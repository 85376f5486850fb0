#include <core/isolate/detail/branches.h>
#include <core/isolate/reasoner.h>

namespace chockside::isolate {


Result<double> information_gain(const Model& model, std::span<const Evidence> evidence, const std::string& check, Presence now)
{
    const auto rows = detail::Rows::make(model);
    if (!rows) return Unexpected{rows.error()};
    const auto items = detail::weigh(*rows, evidence);
    if (!items) return Unexpected{items.error()};
    const auto index = rows->check(check);
    if (!index) return fail("unknown_check", check);
    const auto p = detail::normalised(detail::log_joint(*rows, *items));
    double bits = 0, all = 0;
    for (const detail::Branch& b : detail::branches(*rows, *index, now, p)) {
        bits += b.chance * detail::entropy_bits(b.p);
        all += b.chance;
    }
    return all > 0 ? detail::entropy_bits(p) - bits / all : 0.0;
}

std::vector<NextCheck> next_checks(const Model& model, std::span<const Evidence> evidence, const Situation& situation, const Costs& costs, Presence now, std::size_t most)
{
    auto reasoner = Reasoner::make(model);
    if (!reasoner) return {};
    for (const Evidence& e : evidence)
        if (!reasoner->add(e)) return {};
    return reasoner->next(situation, costs, now, most).checks;
}

} // namespace chockside::isolate
