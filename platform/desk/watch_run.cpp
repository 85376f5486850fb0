#include <platform/desk/watch_run.h>

#include <platform/desk/facts.h>

#include <core/job/number.h>

#include <algorithm>
#include <cmath>

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

WatchRun::WatchRun(const profile::Check& check, const watch::LiveSnapshot& begin)
    : check_(check), last_ns_(begin.t_ns), hearing_(begin.link == watch::LinkState::good), counted_(drops(begin))
{
}

int WatchRun::drops(const watch::LiveSnapshot& now) const
{
    int count = 0;
    for (const auto& [signal, n] : now.drop_counts)
        if (names(signal, signal_of(check_.from)) || signal_of(check_.from) == "any") count += n;
    return count;
}

void WatchRun::see(const watch::LiveSnapshot& now)
{
    const bool hears = now.link == watch::LinkState::good;
    if (hears && hearing_) heard_ns_ += std::max<std::int64_t>(0, now.t_ns - last_ns_);
    hearing_ = hears;
    last_ns_ = now.t_ns;
    const int all = drops(now);
    dropped_ += all >= counted_ ? all - counted_ : all; // the line counts anew when its port was opened anew
    counted_ = all;
    // A flag that stands in view all the time never changes: it counts all the same.
    for (const auto& row : now.rows)
        if (row.boolean && row.value != 0 && check_.how == How::discrete_watch && names(row.name, signal_of(check_.from)) && signal_of(check_.from).find("flag") != std::string::npos) stood_ = true;
    if (check_.how != How::word_number) return;
    if (const auto value = now.value(signal_of(check_.from))) sum_ += *value, ++samples_;
}

double WatchRun::left_s() const
{
    const double seconds = check_.how == How::word_number ? 3.0 : check_.minutes * 60.0;
    return std::max(0.0, seconds - static_cast<double>(heard_ns_) / 1e9);
}

bool WatchRun::over() const
{
    return check_.how != How::flex && left_s() <= 0;
}

std::optional<WatchRun::Result> WatchRun::judge(const watch::LiveSnapshot& now) const
{
    if (check_.how == How::word_number) {
        if (samples_ == 0) return std::nullopt;
        return Result{"", fixed_text(sum_ / samples_, 2), std::to_string(samples_) + " readings"};
    }
    if (check_.how == How::flex) {
        // Where it does not run yet, what stands there is an earlier test's.
        const std::string& outcome = now.flex.outcome;
        if (!now.flex.running || std::find(check_.outcomes.begin(), check_.outcomes.end(), outcome) == check_.outcomes.end()) return std::nullopt;
        return Result{outcome, "", counted(now.flex)};
    }
    // What a page, a stored fault or a self-test says is read, and answers by itself; quiet says nothing of it.
    if (check_.how != How::discrete_watch) return std::nullopt;
    const std::string note = std::to_string(dropped_) + " drop-outs";
    if (dropped_ > 0 || stood_) return Result{check_.outcomes.front(), "", note};
    if (!over()) return std::nullopt; // quiet for less than its minutes proves nothing
    return Result{check_.outcomes.back(), "", note};
}

} // namespace chockside::desk
