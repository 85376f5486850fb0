#include <core/trend/view.h>

#include <algorithm>
#include <cmath>
#include <limits>

namespace chockside::trend {

TrendView::TrendView(const Trend& trend) : trend_(trend)
{
    show_all();
    window_.frozen = false;
}

Trend::Range TrendView::all() const
{
    Trend::Range r = trend_.range().value_or(Trend::Range{});
    if (window_.frozen) r.to_ns = std::max(r.from_ns, std::min(r.to_ns, frozen_at_ns_));
    return r;
}

void TrendView::refresh()
{
    if (window_.frozen) return;
    const std::int64_t width = window_.to_ns - window_.from_ns, end = all().to_ns + 1;
    window_.from_ns = end - width;
    window_.to_ns = end;
}

void TrendView::freeze()
{
    if (window_.frozen) return;
    frozen_at_ns_ = all().to_ns;
    window_.frozen = true;
}

void TrendView::follow()
{
    window_.frozen = false;
    refresh();
}

/// A window wider than the samples begins with the first; another keeps its width.
void TrendView::keep_inside()
{
    const Trend::Range r = all();
    const std::int64_t width = window_.to_ns - window_.from_ns;
    window_.from_ns = std::max(r.from_ns, std::min(window_.from_ns, r.to_ns + 1 - width));
    window_.to_ns = window_.from_ns + width;
}

void TrendView::scrub(double share)
{
    freeze();
    const double width = static_cast<double>(window_.to_ns - window_.from_ns);
    const auto by = static_cast<std::int64_t>(std::clamp(share, -1e3, 1e3) * width);
    window_.from_ns += by;
    window_.to_ns += by;
    keep_inside();
}

void TrendView::zoom(double factor, double about)
{
    if (!(factor > 0)) return;
    const Trend::Range r = all();
    const double was = static_cast<double>(window_.to_ns - window_.from_ns), most = std::max<double>(narrowest_ns, static_cast<double>(r.to_ns - r.from_ns) + 1);
    const double width = std::clamp(was * factor, static_cast<double>(narrowest_ns), most);
    const double place = std::clamp(about, 0.0, 1.0);
    window_.from_ns += static_cast<std::int64_t>(place * (was - width));
    window_.to_ns = window_.from_ns + static_cast<std::int64_t>(width);
    window_.frozen ? keep_inside() : refresh();
}

void TrendView::show(std::int64_t from_ns, std::int64_t to_ns)
{
    freeze();
    window_.from_ns = from_ns;
    window_.to_ns = std::max(from_ns + narrowest_ns, to_ns);
}

void TrendView::show_all()
{
    const Trend::Range r = all();
    window_.from_ns = r.from_ns;
    window_.to_ns = std::max(r.from_ns + narrowest_ns, r.to_ns + 1);
}

void TrendView::go(double share)
{
    freeze();
    const Trend::Range r = all();
    const std::int64_t width = window_.to_ns - window_.from_ns;
    window_.from_ns = r.from_ns + static_cast<std::int64_t>(std::clamp(share, 0.0, 1.0) * static_cast<double>(r.to_ns - r.from_ns)) - width / 2;
    window_.to_ns = window_.from_ns + width;
    keep_inside();
}

Result<TrendView::Plot> TrendView::plot(SeriesId series, int n) const
{
    const std::int64_t newest = window_.frozen ? frozen_at_ns_ : std::numeric_limits<std::int64_t>::max();
    auto columns = trend::columns(trend_, series, window_.from_ns, window_.to_ns, n, newest);
    if (!columns) return Unexpected{columns.error()};
    Plot plot{series, std::move(*columns), std::numeric_limits<double>::quiet_NaN(), std::numeric_limits<double>::quiet_NaN(), 0, 0};
    for (const Column& c : plot.columns.columns) {
        plot.count += c.count;
        plot.bad += c.bad;
        if (c.count == c.bad) continue;
        plot.low = std::fmin(plot.low, c.min);
        plot.high = std::fmax(plot.high, c.max);
    }
    return plot;
}

void TrendView::centre(std::int64_t t_ns)
{
    freeze();
    const std::int64_t width = window_.to_ns - window_.from_ns;
    window_.from_ns = t_ns - width / 2;
    window_.to_ns = window_.from_ns + width;
    keep_inside();
}

Result<Search> TrendView::find(SeriesId series, const Wanted& wanted, std::int64_t after_ns)
{
    auto answer = search(trend_, series, wanted, after_ns);
    if (!answer || !answer->found) return answer;
    if (window_.frozen && answer->found->at.t_ns > frozen_at_ns_) return answer->found.reset(), answer;
    centre(answer->found->at.t_ns);
    return answer;
}

Result<Search> TrendView::find_back(SeriesId series, const Wanted& wanted, std::int64_t before_ns)
{
    auto answer = search_back(trend_, series, wanted, window_.frozen ? std::min(before_ns, frozen_at_ns_ + 1) : before_ns);
    if (answer && answer->found) centre(answer->found->at.t_ns);
    return answer;
}

} // namespace chockside::trend
