#include <core/job/context.h>

#include <algorithm>
#include <cmath>

namespace chockside::job {

namespace {

using State = WaitView::State;

struct Elapsed {
    bool known = false;
    double s = 0; ///< job seconds
};

double scale(const JobState& s)
{
    return static_cast<double>(s.scale_milli) / 1000.0;
}

Elapsed since(const JobState& s, const Context& c, const Stamp& start)
{
    if (start.boot != c.now.boot) return {};
    return {true, std::max<double>(0.0, static_cast<double>(c.now.mono_ms - start.mono)) / 1000.0 * scale(s)};
}

void run(WaitView& w, const JobState& s, const Context& c, Elapsed elapsed)
{
    if (!elapsed.known) {
        w.state = State::unknown;
        w.left_s = w.total_s;
        return;
    }
    w.left_s = std::max(0.0, w.total_s - elapsed.s);
    w.state = w.left_s > 0 ? State::running : State::over;
    w.ends_utc_ms = c.now.utc_ms + std::llround(w.left_s / scale(s) * 1000.0);
}

/// True where a unit can have been up for so long: it is no figure from before power was last taken by hand and given again.
bool can_be(const JobState& s, const Context& c, double uptime_s)
{
    constexpr double slack_s = 2, late_s = 60; // a hand's act is written down after it, a minute at most
    if (s.dark) return false;
    if (!s.power_on) return true;
    const Elapsed on = since(s, c, *s.power_on);
    if (on.known && uptime_s > on.s + late_s) return false;
    const bool by_hand = s.power_lost && s.power_lost->boot == s.power_on->boot && s.power_lost->mono <= s.power_on->mono;
    const Elapsed lost = by_hand ? since(s, c, *s.power_lost) : Elapsed{};
    return !lost.known || uptime_s <= lost.s + slack_s;
}

std::optional<double> told_uptime(const JobState& s, const Context& c)
{
    return c.live.uptime_s && can_be(s, c, *c.live.uptime_s) ? c.live.uptime_s : std::nullopt;
}

/// Since the power-up test ended. Where the unit says its uptime the smaller of clock and uptime counts, so that power that went unseen ends
/// nothing; a test whose beginning was not seen ended at a time that the uptime alone tells. On another boot, or after a restart of the app,
/// only the unit can vouch.
Elapsed tested(const profile::Profile& p, const JobState& s, const Context& c)
{
    const auto up = told_uptime(s, c);
    if (!up) return c.resumed || !s.self_test_ended ? Elapsed{} : since(s, c, *s.self_test_ended);
    const double by_unit = std::max(0.0, *up - p.unit.timings.self_test_max_s);
    const Elapsed by_clock = s.self_test_started && s.first_ended ? since(s, c, *s.first_ended) : Elapsed{};
    return {true, by_clock.known ? std::min(by_clock.s, by_unit) : by_unit};
}

/// A unit that has been up for longer than its test takes has ended it, though nobody heard the end.
bool test_over(const profile::Profile& p, const JobState& s, const Context& c)
{
    if (s.self_test_ended) return true;
    const auto up = told_uptime(s, c);
    return up && *up > p.unit.timings.self_test_max_s && !s.self_test_started && !c.live.self_test_running;
}

/// Motion since the test begins the alignment again.
Elapsed still_since_test(const profile::Profile& p, const JobState& s, const Context& c)
{
    Elapsed all = tested(p, s, c);
    const Stamp* base = s.first_ended ? &*s.first_ended : s.power_on ? &*s.power_on : nullptr;
    if (!all.known || s.aligned || !s.still || !base || s.still->boot != base->boot || s.still->mono <= base->mono) return all;
    if (const Elapsed still = since(s, c, *s.still); still.known) all.s = std::min(all.s, still.s);
    return all;
}

WaitView self_test(const profile::Profile& p, const JobState& s, const Context& c)
{
    WaitView w;
    w.id = "self_test";
    w.title = "Power-up test";
    w.total_s = p.unit.timings.self_test_max_s;
    w.says = "Starts with power";
    if (test_over(p, s, c)) {
        w.state = State::over;
        return w;
    }
    const Stamp* start = s.self_test_started ? &*s.self_test_started : s.power_on ? &*s.power_on : nullptr;
    if (!start) {
        w.left_s = w.total_s;
        return w;
    }
    run(w, s, c, since(s, c, *start));
    if (w.state == State::over) w.state = State::running; // only the unit says that its test has ended
    return w;
}

WaitView alignment(const profile::Profile& p, const JobState& s, const Context& c)
{
    WaitView w;
    w.id = "alignment";
    w.title = "Alignment";
    w.total_s = p.unit.timings.alignment_s;
    w.left_s = w.total_s;
    w.says = "Starts again if moved";
    w.restarts = s.align_restarts;
    if (!test_over(p, s, c)) return w;
    if (c.live.known && c.live.moving) {
        w.state = State::running;
        return w;
    }
    run(w, s, c, still_since_test(p, s, c));
    if (w.state == State::over && c.live.known && !c.live.aligned && !s.aligned) w.state = State::running;
    return w;
}

WaitView warm_up(const profile::Profile& p, const JobState& s, const Context& c)
{
    WaitView w;
    w.id = "warm_up";
    w.title = "Warm-up";
    w.total_s = p.unit.timings.warm_up_s;
    w.left_s = w.total_s;
    w.says = "Starts again if power dips";
    w.restarts = s.warm_restarts;
    if (!test_over(p, s, c)) return w;
    run(w, s, c, tested(p, s, c));
    return w;
}

} // namespace

Waits waits(const profile::Profile& p, const JobState& s, const Context& c)
{
    return {self_test(p, s, c), alignment(p, s, c), warm_up(p, s, c)};
}

} // namespace chockside::job
