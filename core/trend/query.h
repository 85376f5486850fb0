#pragma once
// Questions to a Trend. Answers do not depend on how the samples lie in blocks.

#include <core/trend/trend.h>

#include <limits>

namespace chockside::trend {

/// What one column of a plot shows.
struct Column {
    std::int64_t from_ns = 0; ///< the column holds [from_ns, from_ns + Columns::width_ns)
    std::uint64_t count = 0, bad = 0;
    double min = 0, max = 0, first = 0, last = 0; ///< of the good samples; NaN where there is none
    bool gap = false; ///< no sample, and longer than the series may be silent
    bool operator==(const Column& o) const;
};

struct Columns {
    std::int64_t width_ns = 1;
    std::vector<Column> columns; ///< without a hole, in the order of time
    std::vector<Damage> damage;  ///< a block whose data are named is missing from the columns; a pyramid alone is not
};

/// At most n + 1 columns (n 1-100 000) that cover [from, to), each of the same width and on a grid that does not move with `from`: at
/// 2 ms a column and more a whole number of pyramid spans, so a plot costs a few spans a column. At least two thirds of n where the time
/// allows. Samples later than
/// `newest_ns` count as not there. Codes: bad_range, unknown_series.
Result<Columns> columns(const Trend&, SeriesId, std::int64_t from_ns, std::int64_t to_ns, int n, std::int64_t newest_ns = std::numeric_limits<std::int64_t>::max());

/// How long a series may say nothing before that counts as a gap: three periods (Row::fresh has the same rule), 0: any time.
std::int64_t most_silence_ns(const Series&);

struct Wanted {
    enum class Kind : std::uint8_t {
        above,   ///< the first good sample above `limit` after one that was not
        below,
        changes, ///< other raw bits or validity than the sample before
        invalid, ///< the first sample that is not good after one that was
        missing, ///< no sample for longer than `limit` seconds; the match is the last sample before
    };
    Kind kind = Kind::above;
    double limit = 0;
};
/// "above 3.5", "below -2", "changes", "invalid", "missing 0.5". Codes: bad_search, decimal_comma and the others of read_decimal.
Result<Wanted> read_wanted(std::string_view text);

struct Found {
    Sample at;
    std::int64_t until_ns = 0; ///< missing: when the next sample came
};
struct Search {
    std::optional<Found> found;
    std::vector<Damage> damage; ///< passed over: something may lie in there
    std::uint64_t blocks_read = 0;
};
/// The first match later than `after`, in the order the samples came. Blocks whose summary rules a match out are not read.
Result<Search> search(const Trend&, SeriesId, const Wanted&, std::int64_t after_ns);

/// The last match earlier than `before`. Damage is told of the stretch that the match lies in, or of the last that was looked through.
Result<Search> search_back(const Trend&, SeriesId, const Wanted&, std::int64_t before_ns);

/// Every sample of [from, to) in order; false from `each` stops. Code: unknown_series.
Result<std::vector<Damage>> each_sample(const Trend&, SeriesId, std::int64_t from_ns, std::int64_t to_ns, const std::function<bool(const Sample&)>& each);

} // namespace chockside::trend
