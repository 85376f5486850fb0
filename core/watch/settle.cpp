#include <core/watch/settle.h>

#include <core/stats/distributions.h>

#include <algorithm>
#include <cmath>

namespace chockside::watch {

namespace {

constexpr double looks_a_window = 50;

constexpr double turn_deg = 360;

struct Line {
    double at_zero = 0, slope = 0, slope_error = 0;
    double operator()(double t) const { return at_zero + slope * t; }
};

Line line_through(std::span<const Sample> points)
{
    const auto n = static_cast<double>(points.size());
    double mt = 0, mv = 0, stt = 0, stv = 0, rest = 0;
    for (const Sample& p : points) mt += p.t_s / n, mv += p.value / n;
    for (const Sample& p : points) stt += (p.t_s - mt) * (p.t_s - mt), stv += (p.t_s - mt) * (p.value - mv);
    Line line;
    line.slope = stv / stt;
    line.at_zero = mv - line.slope * mt;
    for (const Sample& p : points) rest += (p.value - line(p.t_s)) * (p.value - line(p.t_s));
    line.slope_error = std::sqrt(rest / (n - 2) / stt);
    return line;
}

std::vector<Sample> block_means(std::span<const Sample> samples, double window_s, int blocks)
{
    std::vector<Sample> sums(static_cast<std::size_t>(blocks));
    std::vector<int> counts(sums.size(), 0);
    const double start = samples.back().t_s - window_s;
    for (const Sample& s : samples) {
        const auto i = std::clamp(static_cast<int>((s.t_s - start) / window_s * blocks), 0, blocks - 1);
        sums[static_cast<std::size_t>(i)].t_s += s.t_s;
        sums[static_cast<std::size_t>(i)].value += s.value;
        ++counts[static_cast<std::size_t>(i)];
    }
    for (std::size_t i = 0; i < sums.size(); ++i) {
        if (counts[i] < 3) return {};
        sums[i].t_s /= counts[i];
        sums[i].value /= counts[i];
    }
    return sums;
}

} // namespace

std::optional<Steadiness> steadiness(std::span<const Sample> samples, double window_s, double confidence, int blocks)
{
    if (samples.empty() || blocks < 5 || window_s <= 0 || confidence <= 0.5 || confidence >= 1) return std::nullopt;
    const auto means = block_means(samples, window_s, blocks);
    if (means.empty()) return std::nullopt;
    const Line line = line_through(means);
    const double dof = blocks - 2;
    Steadiness s;
    double rest = 0;
    for (const Sample& p : samples) {
        s.mean += p.value / static_cast<double>(samples.size());
        rest += (p.value - line(p.t_s)) * (p.value - line(p.t_s));
    }
    s.slope = line.slope;
    s.slope_bound = std::abs(line.slope) + stats::student_t_quantile((1 + confidence) / 2, dof) * line.slope_error;
    s.scatter = std::sqrt(rest / static_cast<double>(samples.size() - 2));
    s.scatter_bound = s.scatter * std::sqrt(dof / stats::chi_squared_quantile(1 - confidence, dof));
    return s;
}

SettleWatch::SettleWatch(profile::SettleRule rule, std::string signal, bool wraps) : rule_(std::move(rule)), signal_(std::move(signal)), wraps_(wraps) {}

/// The turn of an angle that is nearest to the last one, so that north is no step.
double SettleWatch::near_last(double value) const
{
    if (!wraps_ || samples_.empty()) return value;
    return value - turn_deg * std::round((value - samples_.back().value) / turn_deg);
}

void SettleWatch::add(std::int64_t t_ns, double value, bool good)
{
    if (!good || !std::isfinite(value)) {
        clear();
        return;
    }
    const double t = static_cast<double>(t_ns) * 1e-9;
    if (!samples_.empty() && t <= samples_.back().t_s) return;
    samples_.push_back({t, near_last(value)});
    while (samples_.front().t_s <= t - rule_.window_s) samples_.pop_front();
    if (t - looked_s_ < rule_.window_s / looks_a_window) return;
    looked_s_ = t;
    held_ = view(t_ns).word == SettleView::Word::settled;
}

SettleView SettleWatch::view(std::int64_t t_ns) const
{
    SettleView v;
    v.signal = signal_;
    if (samples_.empty()) return v;
    const double stale = static_cast<double>(t_ns) * 1e-9 - samples_.back().t_s;
    v.filled = std::clamp((samples_.back().t_s - samples_.front().t_s) / rule_.window_s, 0.0, 1.0);
    const std::vector<Sample> window(samples_.begin(), samples_.end());
    const auto s = steadiness(window, rule_.window_s, rule_.confidence);
    if (!s || stale > rule_.window_s / 10) return v;
    v.mean = wraps_ ? s->mean - turn_deg * std::floor(s->mean / turn_deg) : s->mean;
    v.slope = s->slope;
    v.scatter = s->scatter;
    const bool surely = s->slope_bound <= rule_.slope_max && s->scatter_bound <= rule_.scatter_max;
    const bool still = surely || (held_ && std::abs(s->slope) <= rule_.slope_max && s->scatter <= rule_.scatter_max);
    v.word = still ? SettleView::Word::settled : SettleView::Word::not_settled;
    return v;
}

} // namespace chockside::watch
