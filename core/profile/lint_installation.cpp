#include <core/profile/lint.h>

#include <core/base/json.h>
#include <core/profile/detail/node.h>

#include <algorithm>
#include <cmath>
#include <set>

namespace chockside::profile {

namespace {

using detail::below;

class InstallationLint {
public:
    explicit InstallationLint(const Profile& p) : profile_(p), p_(p.installation), unit_(p.unit) {}

    Complaints run()
    {
        for (const Check& c : p_.checks) check(c);
        for (const Gate& g : p_.gates) gate(g);
        causes();
        for (Complaints more : {lint_check_units(profile_), lint_steps(p_), lint_causes(p_), lint_isolation(p_), lint_work(profile_)})
            for (Objection& c : more) out_.push_back(std::move(c));
        restored(p_.steps, "/steps");
        for (const Repair& r : p_.repairs) restored_by(r);
        for (const auto& [channel, plug] : p_.test_plugs)
            if (!unit_.channels.empty() && std::find(unit_.channels.begin(), unit_.channels.end(), channel) == unit_.channels.end())
                complain(below("/test_plugs", channel), "no_such_channel", {{"channel", channel}});
        for (const Tolerance& t : p_.tolerances)
            if (t.low >= t.high) complain(below("/tolerances", t.id), "range_backwards", {{"field", t.id}});
        return std::move(out_);
    }

private:
    void complain(std::string pointer, const char* code, Problem::Args args, Severity severity = Severity::error)
    {
        out_.push_back({{}, std::move(pointer), 0, 0, severity, code, std::move(args), {}});
    }

    static bool measured(const Check& c) { return c.how == Check::How::number || c.how == Check::How::word_number; }

    void check(const Check& c)
    {
        const std::string at = below("/checks", c.id);
        const bool number = measured(c);
        if (number && c.unit.empty()) complain(at, "missing_key", {{"key", "unit"}, {"of", "measured check"}});
        if (!number && c.outcomes.empty()) complain(at, "missing_key", {{"key", "outcomes"}, {"of", "check"}});
        if (c.limits && c.limits->first >= c.limits->second) complain(at + "/limits", "range_backwards", {{"field", c.id}});
        for (const auto& [outcome, says] : c.outcome_says)
            if (!has(c.outcomes, outcome)) complain(below(at + "/outcome_says", outcome), "no_such_outcome", {{"outcome", outcome}});
        for (const CheckRow& r : c.given) row(c, r, at + "/given");
        for (const CheckRow& r : c.absent) row(c, r, at + "/absent");
        if (std::none_of(c.given.begin(), c.given.end(), [](const CheckRow& r) { return r.of == "*"; }))
            complain(at + "/given", "no_row_for_others", {{"check", c.id}});
        from(c, at);
    }

    void row(const Check& c, const CheckRow& r, const std::string& where)
    {
        const std::string at = below(where, r.of);
        if (!names_something(r.of)) complain(at, "row_of_nothing", {{"row", r.of}});
        if (r.number.has_value() != measured(c)) return complain(at, r.number ? "row_is_density" : "row_is_outcomes", {{"row", r.of}});
        if (r.number) {
            const bool right = r.number->kind == Density::Kind::normal ? r.number->b > 0 : r.number->a > 0 && r.number->b > 1;
            if (!right) complain(at, "bad_density", {{"row", r.of}});
            return;
        }
        if (r.outcomes.size() != c.outcomes.size())
            return complain(at, "row_length", {{"row", r.of}, {"wanted", std::to_string(c.outcomes.size())}});
        double sum = 0;
        for (double v : r.outcomes) sum += v;
        if (std::fabs(sum - 1) > 1e-6) complain(at, "row_sum", {{"row", r.of}, {"sum", json::number_text(sum)}});
    }

    bool names_something(const std::string& of) const
    {
        if (of == "*") return true;
        if (of.starts_with("class:")) return cause_class_of(of.substr(6)).has_value();
        if (of.starts_with("at:")) return find(p_.places, of.substr(3)) != nullptr;
        if (of.starts_with("kind:")) return find(p_.wiring_causes, of.substr(5)) != nullptr;
        return find(p_.causes, of) != nullptr;
    }

    void from(const Check& c, const std::string& at)
    {
        if (c.from.empty() || unit_.id.empty()) return;
        const std::size_t colon = c.from.find(':');
        const std::string kind = c.from.substr(0, colon), id = colon == std::string::npos ? "" : c.from.substr(colon + 1);
        bool found = true;
        if (kind == "self_test") found = unit_.self_test.contains(id);
        if (kind == "fault") found = std::any_of(unit_.faults.table.begin(), unit_.faults.table.end(), [&](const auto& f) { return f.second.id == id; });
        if (kind == "word") found = std::any_of(unit_.words.begin(), unit_.words.end(), [&](const Word& w) { return w.name == id.substr(0, id.find('.')); });
        if (kind == "discrete") found = std::any_of(unit_.discretes.begin(), unit_.discretes.end(), [&](const Discrete& d) { return d.name == id; });
        if (!found) complain(at + "/from", "dangling_reference", {{"reference", c.from}, {"kinds", kind}});
    }

    void gate(const Gate& g)
    {
        const std::string at = below("/gates", g.id);
        for (const auto& [check, outcomes] : g.is) {
            const Check* c = find(p_.checks, check);
            if (!c) complain(below(at + "/is", check), "dangling_reference", {{"reference", check}, {"kinds", "check"}});
            for (const std::string& o : outcomes)
                if (c && !has(c->outcomes, o)) complain(below(at + "/is", check), "no_such_outcome", {{"outcome", o}});
        }
        for (const auto& [check, limits] : g.within) {
            if (!find(p_.checks, check)) complain(below(at + "/within", check), "dangling_reference", {{"reference", check}, {"kinds", "check"}});
            if (limits.first >= limits.second) complain(below(at + "/within", check), "range_backwards", {{"field", check}});
        }
        if (g.needs.empty() && g.is.empty() && g.within.empty() && g.ways.empty()) complain(at, "gate_open", {{"gate", g.id}}, Severity::warning);
    }

    void causes()
    {
        for (const Cause& c : p_.causes)
            for (const auto& [complaint, weight] : c.weight_by_complaint)
                if (!find(p_.complaints, complaint))
                    complain(below(below("/causes", c.id) + "/weight_by_complaint", complaint), "dangling_reference",
                        {{"reference", complaint}, {"kinds", "complaint"}});
        for (CauseClass must : {CauseClass::none, CauseClass::unlisted})
            if (!p_.causes.empty() && std::none_of(p_.causes.begin(), p_.causes.end(), [&](const Cause& c) { return c.cause_class == must; }))
                complain("/causes", "class_missing", {{"class", name_of(must)}});
    }

    // Whatever the steps undo they must do again: breakers in, plugs on, temporary items away, panels closed.
    void restored(const std::vector<Step>& steps, const std::string& at)
    {
        struct Pair {
            StepKind undo, redo;
            const char* code;
        };
        constexpr Pair pairs[] = {{StepKind::pull_breaker, StepKind::push_breaker, "breaker_never_restored"},
            {StepKind::disconnect, StepKind::connect, "plug_never_connected"}, {StepKind::fit, StepKind::remove, "temporary_never_removed"},
            {StepKind::open_panel, StepKind::close_panel, "panel_never_closed"}};
        for (const Pair& pair : pairs)
            for (std::size_t i = 0; i < steps.size(); ++i) {
                if (steps[i].kind != pair.undo || normal_is_out(steps[i])) continue;
                const bool again = std::any_of(steps.begin() + static_cast<std::ptrdiff_t>(i), steps.end(),
                    [&](const Step& s) { return s.kind == pair.redo && s.of == steps[i].of; });
                if (!again) complain(at + "/" + std::to_string(i), pair.code, {{"of", steps[i].of}, {"step", steps[i].id}});
            }
    }

    bool normal_is_out(const Step& s) const
    {
        const Breaker* b = find(p_.breakers, s.of);
        return s.kind == StepKind::pull_breaker && b && b->normal != "in";
    }

    void restored_by(const Repair& r) { restored(r.steps, below("/repairs", r.id) + "/steps"); }

    static bool has(const std::vector<std::string>& list, const std::string& word)
    {
        return std::find(list.begin(), list.end(), word) != list.end();
    }

    const Profile& profile_;
    const Installation& p_;
    const Unit& unit_;
    Complaints out_;
};

} // namespace

Complaints lint_installation(const Profile& p)
{
    return InstallationLint(p).run();
}

} // namespace chockside::profile
