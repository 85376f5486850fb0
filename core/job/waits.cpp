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

/// On another boot, or after a restart of the app, only the unit can vouch for its power: its uptime counts, else nothing does.
Elapsed vouched(const JobState& s, const Context& c, const Stamp& start, double before_start_s)
{
    const Elapsed by_clock = since(s, c, start);
    if (!c.resumed && by_clock.known) return by_clock;
    if (!c.live.uptime_s) return {};
    const double by_unit = std::max(0.0, *c.live.uptime_s - before_start_s);
    return {true, by_clock.known ? std::min(by_clock.s, by_unit) : by_unit};
}

WaitView self_test(const profile::Profile& p, const JobState& s, const Context& c)
{
    WaitView w;
    w.id = "self_test";
    w.title = "Power-up test";
    w.total_s = p.unit.timings.self_test_max_s;
    w.says = "Starts with power";
    if (s.self_test_ended) {
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
    if (!s.self_test_ended) return w;
    if (c.live.known && c.live.moving) {
        w.state = State::running;
        return w;
    }
    const Stamp* start = &*s.self_test_ended;
    if (s.still && s.still->mono > start->mono && s.still->boot == start->boot && !s.aligned) start = &*s.still;
    run(w, s, c, vouched(s, c, *start, p.unit.timings.self_test_max_s));
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
    if (!s.self_test_ended) return w;
    run(w, s, c, vouched(s, c, *s.self_test_ended, p.unit.timings.self_test_max_s));
    return w;
}

} // namespace

Waits waits(const profile::Profile& p, const JobState& s, const Context& c)
{
    return {self_test(p, s, c), alignment(p, s, c), warm_up(p, s, c)};
}

} // namespace chockside::job
