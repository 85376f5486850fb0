// Causes that no check tells apart although they ask for different work.
#include <core/profile/detail/node.h>
#include <core/profile/lint.h>
#include <core/profile/rows.h>

namespace chockside::profile {

namespace {

bool same(const CheckRow* a, const CheckRow* b)
{
    if (a == b) return true;
    if (!a || !b || a->outcomes != b->outcomes || a->number.has_value() != b->number.has_value()) return false;
    return !a->number || (a->number->kind == b->number->kind && a->number->a == b->number->a && a->number->b == b->number->b);
}

bool told_apart(const Installation& in, const Cause& a, const Cause& b)
{
    for (const Check& c : in.checks)
        if (!same(row_for(c.given, a), row_for(c.given, b))) return true;
    return false;
}

} // namespace

Complaints lint_causes(const Installation& in)
{
    Complaints out;
    for (std::size_t i = 0; i < in.causes.size(); ++i)
        for (std::size_t j = 0; j < i; ++j) {
            const Cause &a = in.causes[j], &b = in.causes[i];
            const bool same_work = !a.repair.empty() && a.repair == b.repair;
            if (a.cause_class == CauseClass::unlisted || b.cause_class == CauseClass::unlisted || same_work || told_apart(in, a, b)) continue;
            out.push_back({{}, detail::below("/causes", b.id), 0, 0, Severity::warning, "causes_inseparable", {{"cause", b.id}, {"other", a.id}}, {}});
        }
    return out;
}

} // namespace chockside::profile
