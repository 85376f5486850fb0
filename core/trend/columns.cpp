#include <core/trend/query.h>

#include <core/trend/detail/block.h>

#include <bit>
#include <limits>

namespace chockside::trend {

namespace {

using detail::Extent;
using detail::floor_div;
using detail::Head;

struct Grid {
    std::int64_t width = 1, first = 0, last = 0; ///< numbers of the first and the last column
    std::int64_t newest = 0;
    int level = -1;                              ///< of the pyramid whose spans make up a column; -1: none is fine enough
    std::int64_t column_of(std::int64_t t) const { return floor_div(t, width); }
    bool overlaps(const Head& h) const { return column_of(h.max_t) >= first && column_of(h.min_t) <= last; }
};

Grid grid_of(std::int64_t from, std::int64_t to, int n)
{
    Grid g;
    const std::int64_t ideal = (to - from - 1) / n + 1;
    for (int level = 0; level < detail::levels && 2 * detail::span_ns(level) <= ideal; ++level) g.level = level;
    const std::int64_t unit = g.level < 0 ? 1 : detail::span_ns(g.level);
    g.width = ((ideal - 1) / unit + 1) * unit;
    g.first = g.column_of(from);
    g.last = g.column_of(to - 1);
    return g;
}

class Filler {
public:
    Filler(const Trend& trend, SeriesId series, const Grid& grid, std::vector<Damage>& damage)
        : trend_(trend), series_(series), grid_(grid), damage_(damage), extents_(static_cast<std::size_t>(grid.last - grid.first) + 1)
    {
    }

    void block(std::size_t at)
    {
        const Head& h = trend_.head(series_, at);
        if (!grid_.overlaps(h) || h.min_t > grid_.newest) return;
        const bool whole = h.max_t <= grid_.newest;
        if (whole && grid_.column_of(h.min_t) == grid_.column_of(h.max_t)) return add(grid_.column_of(h.min_t), h.all);
        if (whole && grid_.level >= 0 && h.level >= 0 && h.level <= grid_.level) {
            const int level = std::min<int>(h.top, grid_.level);
            const std::size_t before = damage_.size();
            const auto spans = trend_.spans(series_, at, level, damage_);
            for (const detail::Span& s : spans) add(floor_div(s.number, grid_.width / detail::span_ns(level)), s.extent);
            if (damage_.size() == before) return;
        }
        for (const Sample& s : trend_.samples(series_, at, damage_))
            if (const std::int64_t c = grid_.column_of(s.t_ns); s.t_ns <= grid_.newest && inside(c)) extents_[static_cast<std::size_t>(c - grid_.first)].add(s);
    }

    const std::vector<Extent>& extents() const { return extents_; }

private:
    bool inside(std::int64_t column) const { return column >= grid_.first && column <= grid_.last; }
    void add(std::int64_t column, const Extent& e)
    {
        if (inside(column)) extents_[static_cast<std::size_t>(column - grid_.first)].add(e);
    }

    const Trend& trend_;
    SeriesId series_;
    const Grid& grid_;
    std::vector<Damage>& damage_;
    std::vector<Extent> extents_;
};

Column column_of(const Extent& e, std::int64_t from)
{
    constexpr double none = std::numeric_limits<double>::quiet_NaN();
    if (!e.any_good()) return {from, e.count, e.bad, none, none, none, none, false};
    return {from, e.count, e.bad, e.min, e.max, e.first, e.last, false};
}

/// Runs of empty columns that are longer than the series may be silent; at the ends of the plot the run may go on beyond it.
void mark_gaps(std::vector<Column>& columns, std::int64_t width, std::int64_t most)
{
    for (std::size_t i = 0; i < columns.size();) {
        std::size_t end = i;
        while (end < columns.size() && columns[end].count == 0) ++end;
        if (static_cast<double>(end - i) * static_cast<double>(width) > static_cast<double>(most))
            for (std::size_t k = i; k < end; ++k) columns[k].gap = true;
        i = end + 1;
    }
}

} // namespace

bool Column::operator==(const Column& o) const
{
    const auto same = [](double a, double b) { return std::bit_cast<std::uint64_t>(a) == std::bit_cast<std::uint64_t>(b); };
    return from_ns == o.from_ns && count == o.count && bad == o.bad && same(min, o.min) && same(max, o.max) && same(first, o.first) && same(last, o.last) && gap == o.gap;
}

std::int64_t most_silence_ns(const Series& s)
{
    return std::int64_t{s.period_ms} * 3'000'000;
}

Result<Columns> columns(const Trend& trend, SeriesId series, std::int64_t from_ns, std::int64_t to_ns, int n, std::int64_t newest_ns)
{
    constexpr std::int64_t most = std::int64_t{1} << 61; // 73 years: differences and rounded ends stay in 64 bits
    if (series >= trend.series().size()) return fail("unknown_series", std::to_string(series));
    if (n < 1 || n > 100'000 || from_ns >= to_ns || from_ns < -most || to_ns > 3 * most) return fail("bad_range");
    if (static_cast<std::uint64_t>(to_ns) - static_cast<std::uint64_t>(from_ns) > static_cast<std::uint64_t>(most)) return fail("bad_range");
    Grid grid = grid_of(from_ns, to_ns, n);
    grid.newest = newest_ns;
    Columns out;
    out.width_ns = grid.width;
    const Trend::Reads reads(trend);
    Filler filler(trend, series, grid, out.damage);
    for (std::size_t i = 0; i < trend.blocks(series); ++i) filler.block(i);
    std::int64_t from = grid.first * grid.width;
    for (const Extent& e : filler.extents()) {
        out.columns.push_back(column_of(e, from));
        from += grid.width;
    }
    mark_gaps(out.columns, grid.width, most_silence_ns(trend.series()[series]));
    return out;
}

} // namespace chockside::trend
