#include <core/trend/detail/block.h>

#include <algorithm>

namespace chockside::trend::detail {

void Extent::add(const Sample& s)
{
    if (!s.good()) {
        ++count, ++bad;
        return;
    }
    if (!any_good()) {
        min = max = first = s.value;
    } else {
        if (s.value < min) min = s.value;
        if (s.value > max) max = s.value;
    }
    last = s.value;
    ++count;
}

void Extent::add(const Extent& later)
{
    if (later.count == 0) return;
    if (count == 0) {
        *this = later;
        return;
    }
    if (later.any_good()) {
        min = any_good() && min <= later.min ? min : later.min;
        max = any_good() && max >= later.max ? max : later.max;
        first = any_good() ? first : later.first;
        last = later.last;
    }
    count += later.count;
    bad += later.bad;
}

void add_to_spans(std::vector<Span>& spans, const Sample& s, int level)
{
    const std::int64_t number = floor_div(s.t_ns, span_ns(level));
    if (spans.empty() || spans.back().number != number) spans.push_back({number, {}});
    spans.back().extent.add(s);
}

std::vector<Span> coarser(std::span<const Span> spans, int from, int to)
{
    std::vector<Span> out;
    const std::int64_t times = std::int64_t{1} << 3 * (to - from);
    for (const Span& s : spans) {
        const std::int64_t number = floor_div(s.number, times);
        if (out.empty() || out.back().number != number) out.push_back({number, {}});
        out.back().extent.add(s.extent);
    }
    return out;
}

Head head_of(std::span<const Sample> samples)
{
    Head h;
    if (samples.empty()) return h;
    h.first_t = h.min_t = h.max_t = samples[0].t_ns;
    h.last_t = samples.back().t_ns;
    for (std::size_t i = 0; i < samples.size(); ++i) {
        const Sample& s = samples[i];
        h.all.add(s);
        h.min_t = std::min(h.min_t, s.t_ns);
        h.max_t = std::max(h.max_t, s.t_ns);
        if (i == 0) continue;
        h.longest = std::max(h.longest, between(samples[i - 1].t_ns, s.t_ns));
    }
    // The finest level whose spans hold sixteen samples and more on the average: finer ones would outweigh the samples.
    for (int level = 0; level < levels; ++level) {
        const auto spans = static_cast<std::uint64_t>(floor_div(h.max_t, span_ns(level)) - floor_div(h.min_t, span_ns(level))) + 1;
        if (spans * 16 > samples.size()) continue;
        h.level = static_cast<std::int8_t>(level);
        break;
    }
    return h;
}

} // namespace chockside::trend::detail
