#pragma once
// Small drawings of the page: the line with its gaps, marks, a unit's life, the harness, the swing. Each has words beside it for who can't see.

#include <core/job/view.h>
#include <platform/shop/html.h>

#include <cstdint>
#include <vector>

namespace chockside::shop {

/// good unver run defer attn none: the shapes of the tablet's marks.
Html mark(std::string_view name);
/// A letter for each stage: s(olid) g(ap) w(here) h(ollow). `names`: the stages' names below.
Html rail(std::string_view letters, bool names);

struct LifeMark {
    std::int64_t at = 0;     ///< UTC, ms
    std::string text;
    bool change = false;     ///< a part was changed; else a write-up (a gap)
};
/// Half a year that ends at `now`.
Html life_line(const std::vector<LifeMark>&, std::int64_t now);
/// Places in their order with the likelihood of each.
Html harness(const std::vector<job::PlaceView>&);
/// Points, curve, band and limits over heading.
Html swing_plot(const job::SwingView&);
/// A value between 0 and 1 with its interval.
struct IntervalMark {
    std::string label;
    double value = 0, lower = 0, upper = 0;
};
/// A line for each, on one scale of 0 to 100 %. Empty without any.
Html interval_plot(const std::string& title, const std::vector<IntervalMark>&);
/// A QR symbol. Empty where the text is too long for one.
Html qr_symbol(const std::string& text);

} // namespace chockside::shop
