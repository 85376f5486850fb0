// What would make isolation impossible: a cause that no check sees, an answer that nothing gives, a gate that cannot be met, wiring causes
// and pairs that name nothing.
#include <core/base/json.h>
#include <core/profile/detail/node.h>
#include <core/profile/lint.h>
#include <core/profile/rows.h>

#include <algorithm>
#include <cmath>

namespace chockside::profile {

namespace {

using detail::below;

class IsolationLint {
public:
    explicit IsolationLint(const Installation& in) : in_(in) {}

    Complaints run()
    {
        for (const WiringCause& w : in_.wiring_causes) wiring(w);
        for (const Cause& c : in_.causes) seen(c);
        for (const Check& c : in_.checks) check(c);
        for (const Gate& g : in_.gates) gate(g);
        return std::move(out_);
    }

private:
    void complain(std::string pointer, const char* code, Problem::Args args)
    {
        out_.push_back({{}, std::move(pointer), 0, 0, Severity::error, code, std::move(args), {}});
    }

    void wiring(const WiringCause& w)
    {
        const std::string at = below("/wiring_causes", w.id);
        for (const std::string& place : w.at) {
            if (!find(in_.places, place)) continue; // the reference is complained of already
            const auto same = std::count_if(in_.causes.begin(), in_.causes.end(), [&](const Cause& c) { return c.id == w.id + "_" + place; });
            if (same > 1) complain(at, "cause_twice", {{"cause", w.id + "_" + place}});
        }
        for (const Cause& c : in_.causes)
            if (c.kind == w.id && !c.repair.empty() && !find(in_.repairs, c.repair))
                complain(at + "/repair", "dangling_reference", {{"reference", c.repair}, {"kinds", "repair"}});
        for (const auto& [complaint, weight] : w.weight_by_complaint)
            if (!find(in_.complaints, complaint)) complain(below(at + "/weight_by_complaint", complaint), "dangling_reference", {{"reference", complaint}, {"kinds", "complaint"}});
    }

    static bool same(const CheckRow* a, const CheckRow* b)
    {
        if (a == b || !a || !b) return a == b;
        if (a->number.has_value() != b->number.has_value()) return false;
        return a->number ? a->number->a == b->number->a && a->number->b == b->number->b && a->number->kind == b->number->kind : a->outcomes == b->outcomes;
    }

    /// Some check must answer otherwise under it than with nothing at fault.
    void seen(const Cause& c)
    {
        if (c.cause_class == CauseClass::none || c.cause_class == CauseClass::unlisted || in_.checks.empty()) return;
        const auto none = std::find_if(in_.causes.begin(), in_.causes.end(), [](const Cause& o) { return o.cause_class == CauseClass::none; });
        if (none == in_.causes.end()) return;
        for (const Check& check : in_.checks)
            if (!same(row_for(check.given, c), row_for(check.given, *none))) return;
        complain(below(c.kind.empty() ? "/causes" : "/wiring_causes", c.kind.empty() ? c.id : c.kind), "cause_without_check", {{"cause", c.id}});
    }

    void check(const Check& c)
    {
        const std::string at = below("/checks", c.id);
        for (std::size_t o = 0; o < c.outcomes.size(); ++o) {
            const auto gives = [&](const CheckRow& r) { return o < r.outcomes.size() && r.outcomes[o] > 0; };
            const bool rows = std::any_of(c.given.begin(), c.given.end(), [](const CheckRow& r) { return !r.outcomes.empty(); });
            if (rows && std::none_of(c.given.begin(), c.given.end(), gives) && std::none_of(c.absent.begin(), c.absent.end(), gives))
                complain(at + "/outcomes", "impossible_answer", {{"check", c.id}, {"outcome", c.outcomes[o]}});
        }
        const bool as_found = c.how == Check::How::page || c.how == Check::How::stored_fault;
        const bool owed = std::any_of(in_.owed.begin(), in_.owed.end(), [&](const Owed& o) { return o.prove == "check:" + c.id; });
        if (as_found && (c.proves_fix || owed)) complain(at, "proof_read_once", {{"check", c.id}});
        for (const auto& [both, row] : c.together) together(c, both, row, below(at + "/together", both));
    }

    void together(const Check& c, const std::string& both, const std::vector<double>& row, const std::string& at)
    {
        const auto plus = both.find('+');
        const std::string a = both.substr(0, plus), b = plus == std::string::npos ? "" : both.substr(plus + 1);
        if (a == b || !find(in_.causes, a) || !find(in_.causes, b)) complain(at, "row_of_nothing", {{"row", both}});
        double sum = 0;
        for (double v : row) sum += v;
        if (row.size() != c.outcomes.size()) complain(at, "row_length", {{"row", both}, {"wanted", std::to_string(c.outcomes.size())}});
        else if (std::fabs(sum - 1) > 1e-6) complain(at, "row_sum", {{"row", both}, {"sum", json::number_text(sum)}});
    }

    void gate(const Gate& g)
    {
        const std::string at = below("/gates", g.id);
        for (const auto& way : g.ways)
            for (const auto& [check, outcomes] : way) {
                const Check* c = find(in_.checks, check);
                if (!c) complain(at + "/ways", "dangling_reference", {{"reference", check}, {"kinds", "check"}});
                for (const std::string& o : outcomes)
                    if (c && std::find(c->outcomes.begin(), c->outcomes.end(), o) == c->outcomes.end()) complain(at + "/ways", "no_such_outcome", {{"outcome", o}});
            }
        // A number has no outcome words, an asked check has no number: such a row can never be met.
        for (const auto& [check, limits] : g.within)
            if (const Check* c = find(in_.checks, check); c && c->unit.empty()) complain(below(at + "/within", check), "gate_never_met", {{"gate", g.id}, {"check", check}});
        for (const auto& [check, outcomes] : g.is)
            if (const Check* c = find(in_.checks, check); c && (outcomes.empty() || c->outcomes.empty()))
                complain(below(at + "/is", check), "gate_never_met", {{"gate", g.id}, {"check", check}});
    }

    const Installation& in_;
    Complaints out_;
};

} // namespace

Complaints lint_isolation(const Installation& in)
{
    return IsolationLint(in).run();
}

} // namespace chockside::profile
