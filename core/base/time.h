#pragma once
// Two clocks, never mixed: the wall (UTC, may be wrong or jump) is for people; the boot clock (monotonic, goes on in suspend) is
// the only one that measures a duration, and only within one boot.

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

namespace chockside {

struct Now {
    std::int64_t utc_ms = 0;   ///< Unix time, milliseconds
    std::int64_t mono_ms = 0;  ///< boot clock, milliseconds
    std::string boot;          ///< id of this boot; durations across boots are unknown
    bool operator==(const Now&) const = default;
};

class Clock {
public:
    virtual ~Clock() = default;
    virtual Now now() const = 0;
};

/// RFC 3339 in UTC with milliseconds, e.g. 2026-06-17T14:27:40.000Z (years 1970-9999).
std::string to_rfc3339(std::int64_t utc_ms);
std::optional<std::int64_t> from_rfc3339(std::string_view text);
/// "14:27:40" in UTC.
std::string to_hms(std::int64_t utc_ms);
/// "2026-06-17".
std::string to_date(std::int64_t utc_ms);

} // namespace chockside
