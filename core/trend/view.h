#pragma once
// What a viewer holds: a window of time over a Trend that follows the newest sample, stands still, is moved, widened and searched.

#include <core/trend/query.h>

namespace chockside::trend {

class TrendView {
public:
    /// The Trend must outlive the view, on its thread. Begins with everything there is, following.
    explicit TrendView(const Trend& trend);

    struct Window {
        std::int64_t from_ns = 0, to_ns = 1; ///< [from, to)
        bool frozen = false;                 ///< what comes after the moment of freezing is not shown
        bool operator==(const Window&) const = default;
    };
    const Window& window() const { return window_; }
    /// The newest sample that is shown while it is frozen.
    std::int64_t frozen_at_ns() const { return frozen_at_ns_; }

    /// New samples have come: a window that follows moves so that the newest one is its last. Its width stays.
    void refresh();
    void freeze();
    void follow();
    /// Moves by a share of the window's width (-1: one window back), within the samples; the view stands still from then on.
    void scrub(double share);
    /// Widens (factor > 1) or narrows about a place in the window (0 its left end, 1 its right); not below `n` ns.
    void zoom(double factor, double about);
    void show(std::int64_t from_ns, std::int64_t to_ns);
    void show_all();
    /// The window's middle to a share (0 the first sample, 1 the last) of everything; it stands still from then on.
    void go(double share);

    struct Plot {
        SeriesId series = 0;
        Columns columns;
        double low = 0, high = 0; ///< of the good samples in it; both NaN where there is none
        std::uint64_t count = 0, bad = 0;
        bool whole() const { return columns.damage.empty(); }
    };
    /// n columns of the window. Codes: those of columns().
    Result<Plot> plot(SeriesId, int n) const;
    /// The next match behind `after`; the window moves so that it stands in the middle, as far as there are samples on both sides.
    Result<Search> find(SeriesId, const Wanted&, std::int64_t after_ns);
    /// The last match before `before`, in the same way.
    Result<Search> find_back(SeriesId, const Wanted&, std::int64_t before_ns);

private:
    static constexpr std::int64_t narrowest_ns = 1000;
    Trend::Range all() const;
    void keep_inside();
    void centre(std::int64_t t_ns);

    const Trend& trend_;
    Window window_;
    std::int64_t frozen_at_ns_ = 0; ///< newest sample when it was frozen
};

} // namespace chockside::trend
