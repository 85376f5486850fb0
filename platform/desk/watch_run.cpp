#include <platform/desk/watch_run.h>

#include <platform/desk/facts.h>

#include <algorithm>
#include <cmath>
#include <cstdio>

namespace chockside::desk {

namespace {

using How = profile::Check::How;

/// "10 drop-outs: w7 8 in 121 s, hands off 2 in 150 s": what the judgement rests on, place by place.
std::string counted(const watch::FlexView& flex)
{
    std::string text = std::to_string(flex.hits) + " drop-outs";
    const char* join = ": ";
    for (const auto& place : flex.places) {
        text += join + (place.place.empty() ? "hands off" : place.place) + " " + std::to_string(place.hits) + " in " + std::to_string(std::lround(place.exposure_s)) + " s";
        join = ", ";
    }
    return text;
}

bool names(const std::string& signal, const std::string& wanted)
{
    return signal == wanted || (signal.size() > wanted.size() && signal.compare(signal.size() - wanted.size() - 1, std::string::npos, "." + wanted) == 0);
}

} // namespace

WatchRun::WatchRun(const profile::Check& check, const watch::LiveSnapshot& begin) : check_(check), begin_ns_(begin.t_ns), begin_drops_(drops(begin)) {}

int WatchRun::drops(const watch::LiveSnapshot& now) const
{
    int count = 0;
    for (const auto& [signal, n] : now.drop_counts)
        if (names(signal, signal_of(check_.from)) || signal_of(check_.from) == "any") count += n;
    return count;
}

void WatchRun::see(const watch::LiveSnapshot& now)
{
    // A flag that stands in view all the time never changes: it counts all the same.
    for (const auto& row : now.rows)
        if (row.boolean && row.value != 0 && check_.how == How::discrete_watch && names(row.name, signal_of(check_.from)) && signal_of(check_.from).find("flag") != std::string::npos) stood_ = true;
    if (check_.how != How::word_number) return;
    if (const auto value = now.value(signal_of(check_.from))) sum_ += *value, ++samples_;
}

double WatchRun::left_s(const watch::LiveSnapshot& now) const
{
    const double seconds = check_.how == How::word_number ? 3.0 : check_.minutes * 60.0;
    return std::max(0.0, seconds - static_cast<double>(now.t_ns - begin_ns_) / 1e9);
}

bool WatchRun::over(const watch::LiveSnapshot& now) const
{
    return check_.how != How::flex && left_s(now) <= 0;
}

std::optional<WatchRun::Result> WatchRun::judge(const watch::LiveSnapshot& now) const
{
    if (check_.how == How::word_number) {
        if (samples_ == 0) return std::nullopt;
        char text[32];
        std::snprintf(text, sizeof text, "%.2f", sum_ / samples_);
        return Result{"", text, std::to_string(samples_) + " readings"};
    }
    if (check_.how == How::flex) {
        const std::string& outcome = now.flex.outcome;
        const bool known = std::find(check_.outcomes.begin(), check_.outcomes.end(), outcome) != check_.outcomes.end();
        if (outcome == "not_enough" && now.flex.hits == 0) return Result{"steady", "", "no drop-out"};
        if (!known) return std::nullopt;
        return Result{outcome, "", counted(now.flex)};
    }
    const int count = drops(now) - begin_drops_;
    return Result{count > 0 || stood_ ? check_.outcomes.front() : check_.outcomes.back(), "", std::to_string(count) + " drop-outs"};
}

} // namespace chockside::desk
