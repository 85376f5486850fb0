// Steps that can never be done: what they need is a state that no earlier step brings about.
#include <core/profile/lint.h>

#include <map>
#include <set>

namespace chockside::profile {

namespace {

/// Which states things can have been in so far. What happens by itself (a breaker trips, a unit ends its test) or is asked for in its place (a plug proved dead) is always possible.
class Reach {
public:
    explicit Reach(const Installation& in) : in_(in) {}

    void after(const Step& s)
    {
        done_.insert(s.id);
        switch (s.kind) {
        case StepKind::pull_breaker: states_["breaker " + s.of].insert({"pulled", "collared", "out"}); break;
        case StepKind::push_breaker: states_["breaker " + s.of].insert("in"); break;
        case StepKind::disconnect: states_["plug " + s.of].insert("disconnected"); break;
        case StepKind::connect: states_["plug " + s.of].insert("connected"); break;
        case StepKind::fit: states_["fitted " + s.of].insert("yes"); break;
        case StepKind::open_panel: states_["opened"].insert(s.of); break;
        case StepKind::session_open: states_["session"].insert({s.of, "any"}); break;
        default: break;
        }
    }

    bool possible(const Condition& c) const
    {
        using K = Condition::Kind;
        switch (c.kind) {
        case K::all:
            for (const Condition& p : c.parts)
                if (!possible(p)) return false;
            return true;
        case K::any:
            for (const Condition& p : c.parts)
                if (possible(p)) return true;
            return c.parts.empty();
        case K::breaker: return breaker(c);
        case K::plug: return c.is == "connected" || reached("plug " + c.of, c.is);
        case K::fitted: return c.is == "no" || reached("fitted " + c.of, c.is);
        case K::session: return reached("session", c.of);
        case K::opened: return reached("opened", c.of);
        case K::done: return done_.contains(c.of);
        default: return true;
        }
    }

private:
    bool breaker(const Condition& c) const
    {
        const Breaker* b = find(in_.breakers, c.of);
        const bool normal = !b || c.is == b->normal || (c.is == "out" && b->normal != "in");
        return normal || c.is == "tripped" || reached("breaker " + c.of, c.is);
    }

    bool reached(const std::string& thing, const std::string& state) const
    {
        const auto found = states_.find(thing);
        return found != states_.end() && found->second.contains(state);
    }

    const Installation& in_;
    std::map<std::string, std::set<std::string>> states_;
    std::set<std::string> done_;
};

} // namespace

Complaints lint_steps(const Installation& in)
{
    Complaints out;
    Reach reach(in);
    for (std::size_t i = 0; i < in.steps.size(); ++i) {
        const Step& s = in.steps[i];
        if (!reach.possible(s.needs))
            out.push_back({{}, "/steps/" + std::to_string(i) + "/needs", 0, 0, Severity::error, "step_unreachable", {{"step", s.id}}, {}});
        reach.after(s);
    }
    return out;
}

} // namespace chockside::profile
