#include <core/job/condition.h>
#include <core/job/detail/describe.h>

#include <algorithm>

namespace chockside::job {

namespace {

using Kind = profile::Condition::Kind;
using profile::Condition;

template <class Map>
const Register* reg(const Map& map, const std::string& id)
{
    const auto found = map.find(id);
    return found == map.end() ? nullptr : &found->second;
}

bool breaker_is(const profile::Profile& p, const JobState& s, const Condition& c)
{
    const Register* r = reg(s.breakers, c.of);
    if (!r || r->empty()) {
        const auto* b = profile::find(p.installation.breakers, c.of);
        return b && c.is == b->normal;
    }
    if (c.is == "out")
        return std::all_of(r->writes.begin(), r->writes.end(), [](const auto& w) { return w.value == "pulled" || w.value == "collared" || w.value == "tripped"; });
    return r->certainly(c.is);
}

bool register_is(const Register* r, const std::string& is, const std::string& normal)
{
    return !r || r->empty() ? is == normal : r->certainly(is);
}

bool session_is(const JobState& s, const Context& c, const std::string& channel)
{
    if (c.live.known) return channel == "any" || channel.empty() ? !c.live.session.empty() : c.live.session == channel;
    return std::any_of(s.sessions.begin(), s.sessions.end(), [&](const auto& kv) {
        return kv.second.certainly("open") && (channel == "any" || channel.empty() || kv.first == channel);
    });
}

bool leaf(const profile::Profile& p, const JobState& s, const Context& c, const Condition& k)
{
    switch (k.kind) {
    case Kind::breaker: return breaker_is(p, s, k);
    case Kind::plug: return register_is(reg(s.plugs, k.of), k.is, "connected");
    case Kind::fitted: return register_is(reg(s.fitted, k.of), k.is.empty() ? "yes" : k.is, "no");
    case Kind::dead: return register_is(reg(s.dead, k.of), "yes", "no");
    case Kind::power: return s.power.certainly(k.is);
    case Kind::self_test: return waits(p, s, c).self_test.state == WaitView::State::over;
    case Kind::aligned: return waits(p, s, c).alignment.state == WaitView::State::over;
    case Kind::warm_up: return waits(p, s, c).warm_up.state == WaitView::State::over;
    case Kind::settled: {
        const auto found = c.live.settled.find(k.of);
        return found != c.live.settled.end() && found->second;
    }
    case Kind::session: return session_is(s, c, k.of);
    case Kind::link: return c.live.good;
    case Kind::done: return s.done.contains(k.of);
    case Kind::answered: return s.answer(k.of) != nullptr;
    case Kind::opened: return register_is(reg(s.panels, k.of), "open", "closed");
    default: return true;
    }
}

} // namespace

bool holds(const profile::Profile& p, const JobState& s, const Context& c, const Condition& k)
{
    const auto part = [&](const Condition& x) { return holds(p, s, c, x); };
    switch (k.kind) {
    case Kind::always: return true;
    case Kind::all: return std::all_of(k.parts.begin(), k.parts.end(), part);
    case Kind::any: return std::any_of(k.parts.begin(), k.parts.end(), part);
    case Kind::not_: return std::none_of(k.parts.begin(), k.parts.end(), part);
    default: return leaf(p, s, c, k);
    }
}

const Condition* first_unmet(const profile::Profile& p, const JobState& s, const Context& c, const Condition& k)
{
    if (holds(p, s, c, k)) return nullptr;
    if (k.kind == Kind::all)
        for (const Condition& part : k.parts)
            if (const Condition* unmet = first_unmet(p, s, c, part)) return unmet;
    if (k.kind == Kind::any && !k.parts.empty()) return first_unmet(p, s, c, k.parts.front());
    return &k;
}

std::string words_of(const profile::Profile& p, const Condition& k)
{
    switch (k.kind) {
    case Kind::breaker: return detail::label_of(p, "breaker", k.of) + " " + k.is;
    case Kind::plug: return detail::label_of(p, "plug", k.of) + " " + k.is;
    case Kind::fitted: return detail::label_of(p, "fit", k.of) + (k.is == "no" ? " off" : " on");
    case Kind::dead: return detail::label_of(p, "plug", k.of) + " proved dead";
    case Kind::power: return "power " + k.is;
    case Kind::self_test: return "power-up test ended";
    case Kind::aligned: return "alignment over";
    case Kind::warm_up: return "warm-up over";
    case Kind::settled: return k.of + " settled";
    case Kind::session: return "ground-test session open";
    case Kind::link: return "link good";
    case Kind::done: return "step " + k.of + " done";
    case Kind::answered: return k.of + " answered";
    case Kind::opened: return detail::label_of(p, "panel", k.of) + " open";
    default: return "a need of this step";
    }
}

} // namespace chockside::job
