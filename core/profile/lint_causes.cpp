// Causes that no check tells apart although they ask for different work, and causes that no repair puts right.
#include <core/profile/detail/node.h>
#include <core/profile/lint.h>
#include <core/profile/rows.h>

#include <algorithm>
#include <map>

namespace chockside::profile {

namespace {

bool same(const CheckRow* a, const CheckRow* b)
{
    if (a == b) return true;
    if (!a || !b || a->outcomes != b->outcomes || a->number.has_value() != b->number.has_value()) return false;
    return !a->number || (a->number->kind == b->number->kind && a->number->a == b->number->a && a->number->b == b->number->b);
}

/// Per cause, per check the number of the first cause that gives it the same row: causes with equal numbers are told apart by nothing.
std::vector<std::vector<std::size_t>> rows_alike(const Installation& in)
{
    std::vector<std::vector<std::size_t>> alike(in.causes.size());
    for (const Check& c : in.checks) {
        std::vector<std::pair<const CheckRow*, std::size_t>> kinds;
        for (std::size_t i = 0; i < in.causes.size(); ++i) {
            const CheckRow* row = row_for(c.given, in.causes[i]);
            const auto known = std::find_if(kinds.begin(), kinds.end(), [&](const auto& k) { return same(k.first, row); });
            alike[i].push_back(known == kinds.end() ? i : known->second);
            if (known == kinds.end()) kinds.emplace_back(row, i);
        }
    }
    return alike;
}

bool asks_for_work(const Cause& c) { return c.cause_class != CauseClass::none && c.cause_class != CauseClass::unlisted; }

} // namespace

Complaints lint_causes(const Installation& in)
{
    Complaints out;
    for (const Cause& c : in.causes) // a profile that has no repairs yet is at its beginning
        if (!in.repairs.empty() && c.repair.empty() && asks_for_work(c)) out.push_back({{}, detail::below("/causes", c.id), 0, 0, Severity::warning, "cause_without_repair", {{"cause", c.id}}, {}});
    const auto alike = rows_alike(in);
    std::map<std::vector<std::size_t>, std::vector<std::size_t>> groups;
    for (std::size_t i = 0; i < in.causes.size(); ++i) {
        const Cause& b = in.causes[i];
        if (b.cause_class == CauseClass::unlisted) continue;
        auto& group = groups[alike[i]];
        for (const std::size_t j : group) {
            const Cause& a = in.causes[j];
            if (!a.repair.empty() && a.repair == b.repair) continue;
            out.push_back({{}, detail::below("/causes", b.id), 0, 0, Severity::warning, "causes_inseparable", {{"cause", b.id}, {"other", a.id}}, {}});
        }
        group.push_back(i);
    }
    return out;
}

} // namespace chockside::profile
