// Work that would never be asked for: a misspelt act owes nothing, a proof that nobody knows is a tap, a step in some stages is passed over.
#include <core/profile/lint.h>

#include <core/profile/detail/node.h>

#include <algorithm>

namespace chockside::profile {

namespace {

using detail::below;

std::string after_colon(const std::string& reference)
{
    return reference.substr(reference.find(':') + 1);
}

class WorkLint {
public:
    explicit WorkLint(const Profile& p) : in_(p.installation), unit_(p.unit) {}

    Complaints run()
    {
        for (const Repair& r : in_.repairs) act(r);
        for (std::size_t i = 0; i < in_.owed.size(); ++i) owed(in_.owed[i], "/owed/" + std::to_string(i));
        for (std::size_t i = 0; i < in_.steps.size(); ++i) {
            stage(in_.steps[i], "/steps/" + std::to_string(i));
            request(in_.steps[i], "/steps/" + std::to_string(i));
        }
        for (const Repair& r : in_.repairs)
            for (std::size_t i = 0; i < r.steps.size(); ++i) request(r.steps[i], below("/repairs", r.id) + "/steps/" + std::to_string(i));
        if (!unit_.id.empty()) pages();
        return std::move(out_);
    }

private:
    void complain(std::string pointer, const char* code, Problem::Args args)
    {
        out_.push_back({{}, std::move(pointer), 0, 0, Severity::error, code, std::move(args), {}});
    }

    /// A repair that owes nothing has no act.
    void act(const Repair& r)
    {
        if (r.act.empty() || std::any_of(in_.owed.begin(), in_.owed.end(), [&](const Owed& o) { return o.act == r.act; })) return;
        complain(below("/repairs", r.id) + "/act", "act_owes_nothing", {{"repair", r.id}, {"act", r.act}});
    }

    void owed(const Owed& o, const std::string& at)
    {
        if (std::none_of(in_.repairs.begin(), in_.repairs.end(), [&](const Repair& r) { return r.act == o.act; }))
            complain(at + "/act", "owed_never_raised", {{"owed", o.id}, {"act", o.act}});
        const std::string& prove = o.prove;
        if (prove.empty() || (prove.starts_with("ask:") && prove.size() > 4)) return;
        if (prove.starts_with("check:")) {
            if (!find(in_.checks, prove.substr(6))) complain(at + "/prove", "dangling_reference", {{"reference", prove}, {"kinds", "check"}});
        }
        else if (prove != "swing" || !in_.swing) complain(at + "/prove", "proof_unknown", {{"owed", o.id}, {"prove", prove}});
    }

    /// Close asks for what stands otherwise than normal by itself; its steps only say how.
    bool puts_back(const Step& s) const
    {
        const Breaker* b = s.kind == StepKind::pull_breaker ? find(in_.breakers, after_colon(s.of)) : nullptr;
        constexpr StepKind kinds[] = {StepKind::push_breaker, StepKind::connect, StepKind::remove, StepKind::close_panel, StepKind::session_close};
        return (b && b->normal != "in") || std::find(std::begin(kinds), std::end(kinds), s.kind) != std::end(kinds);
    }

    void stage(const Step& s, const std::string& at)
    {
        const bool asked = s.stage == "write_up" || s.stage == "as_found" || s.stage == "make_ready";
        if (asked || (s.stage == "close" && puts_back(s))) return;
        complain(at + "/stage", "step_never_asked", {{"step", s.id}, {"stage", s.stage}});
    }

    /// A step sends its request without arguments; pages count their own.
    void request(const Step& s, const std::string& at)
    {
        if (s.kind != StepKind::read) return;
        const auto r = std::find_if(unit_.requests.begin(), unit_.requests.end(), [&](const Request& one) { return one.name == after_colon(s.of); });
        if (r == unit_.requests.end()) return;
        for (const Field& f : r->fields)
            if (!f.arg.empty() && !(r->paging && r->paging->arg == f.arg))
                complain(at + "/of", "argument_never_given", {{"request", r->name}, {"argument", f.arg}});
    }

    /// FRAME.FIELD, and what is inside of the field.
    bool on_the_line(const std::string& name) const
    {
        const auto dot = name.find('.');
        const std::string field = dot == std::string::npos ? "" : name.substr(dot + 1, name.find('.', dot + 1) - dot - 1);
        return std::any_of(unit_.frames.begin(), unit_.frames.end(), [&](const Frame& f) {
            return f.name == name.substr(0, dot) && std::any_of(f.fields.begin(), f.fields.end(), [&](const Field& one) { return one.name == field; });
        });
    }

    void pages()
    {
        for (const Check& c : in_.checks) {
            const bool page = c.from.starts_with("page:");
            if (!page && !c.from.starts_with("frame:")) continue;
            const std::string name = after_colon(c.from), at = below("/checks", c.id) + "/from";
            if (!on_the_line(name)) complain(at, "dangling_reference", {{"reference", c.from}, {"kinds", "field of a frame"}});
            else if (c.how == Check::How::page && !expected(name)) complain(at, "page_not_expected", {{"check", c.id}, {"field", name}});
        }
        for (const auto& row : in_.expected)
            if (!on_the_line(after_colon(row.first))) complain(below("/expected", row.first), "dangling_reference", {{"reference", row.first}, {"kinds", "field of a frame"}});
    }

    bool expected(const std::string& name) const
    {
        return std::any_of(in_.expected.begin(), in_.expected.end(), [&](const auto& row) { return after_colon(row.first) == name; });
    }

    const Installation& in_;
    const Unit& unit_;
    Complaints out_;
};

} // namespace

Complaints lint_work(const Profile& p)
{
    return WorkLint(p).run();
}

} // namespace chockside::profile
