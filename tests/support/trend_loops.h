#pragma once
// What a Trend holds and what a search in it must find, by loops that know nothing of blocks.

#include <core/trend/query.h>

#include <limits>

namespace chockside::tests {

using trend::Sample;
using trend::SeriesId;
using trend::Trend;
using trend::Wanted;

/// Empty where a part can't be read.
inline std::vector<Sample> all_of(const Trend& t, SeriesId id)
{
    std::vector<Sample> out;
    const auto damage = trend::each_sample(t, id, std::numeric_limits<std::int64_t>::min(), std::numeric_limits<std::int64_t>::max(), [&](const Sample& s) { return out.push_back(s), true; });
    return damage && damage->empty() ? out : std::vector<Sample>();
}

/// Times of the matches, by a loop over all samples.
inline std::vector<std::int64_t> plain_matches(const std::vector<Sample>& v, const Wanted& w)
{
    std::vector<std::int64_t> out;
    const auto in = [&](const Sample& s) { return w.kind == Wanted::Kind::above ? s.good() && s.value > w.limit : w.kind == Wanted::Kind::below ? s.good() && s.value < w.limit : !s.good(); };
    for (std::size_t i = 0; i < v.size(); ++i) {
        if (w.kind == Wanted::Kind::missing) {
            if (i + 1 < v.size() && static_cast<double>(v[i + 1].t_ns - v[i].t_ns) > w.limit * 1e9) out.push_back(v[i].t_ns);
        } else if (w.kind == Wanted::Kind::changes) {
            if (i > 0 && (v[i].raw != v[i - 1].raw || v[i].validity != v[i - 1].validity)) out.push_back(v[i].t_ns);
        } else if (in(v[i]) && (i == 0 || !in(v[i - 1]))) {
            out.push_back(v[i].t_ns);
        }
    }
    return out;
}

} // namespace chockside::tests
