#include <core/base/time.h>

#include <chrono>
#include <cstdio>

namespace chockside {

namespace {

struct Parts {
    int year;
    unsigned month, day;
    int hour, minute, second, ms;
};

Parts parts(std::int64_t utc_ms)
{
    using namespace std::chrono;
    const sys_time<milliseconds> at{milliseconds{utc_ms}};
    const auto day = floor<days>(at);
    const year_month_day date{day};
    const auto rest = static_cast<int>((at - day).count());
    return {static_cast<int>(date.year()), static_cast<unsigned>(date.month()), static_cast<unsigned>(date.day()), rest / 3600000, rest / 60000 % 60, rest / 1000 % 60, rest % 1000};
}

std::optional<int> number(std::string_view text, std::size_t at, std::size_t digits)
{
    int value = 0;
    for (std::size_t i = at; i < at + digits; ++i) {
        if (i >= text.size() || text[i] < '0' || text[i] > '9') return std::nullopt;
        value = value * 10 + (text[i] - '0');
    }
    return value;
}

} // namespace

std::string to_rfc3339(std::int64_t utc_ms)
{
    const Parts p = parts(utc_ms);
    char text[48];
    std::snprintf(text, sizeof text, "%04d-%02u-%02uT%02d:%02d:%02d.%03dZ", p.year, p.month, p.day, p.hour, p.minute, p.second, p.ms);
    return text;
}

std::optional<std::int64_t> from_rfc3339(std::string_view text)
{
    const bool with_ms = text.size() == 24;
    if ((!with_ms && text.size() != 20) || text.back() != 'Z' || text[4] != '-' || text[7] != '-' || text[10] != 'T' || text[13] != ':' || text[16] != ':') return std::nullopt;
    if (with_ms && text[19] != '.') return std::nullopt;
    const auto y = number(text, 0, 4), mo = number(text, 5, 2), d = number(text, 8, 2), h = number(text, 11, 2), mi = number(text, 14, 2), s = number(text, 17, 2);
    const auto ms = with_ms ? number(text, 20, 3) : std::optional<int>(0);
    if (!y || !mo || !d || !h || !mi || !s || !ms || *h > 23 || *mi > 59 || *s > 59) return std::nullopt;
    using namespace std::chrono;
    const year_month_day date{year{*y}, month{static_cast<unsigned>(*mo)}, day{static_cast<unsigned>(*d)}};
    if (!date.ok()) return std::nullopt;
    return duration_cast<milliseconds>(sys_days{date}.time_since_epoch() + hours{*h} + minutes{*mi} + seconds{*s} + milliseconds{*ms}).count();
}

std::string to_hms(std::int64_t utc_ms)
{
    const Parts p = parts(utc_ms);
    char text[16];
    std::snprintf(text, sizeof text, "%02d:%02d:%02d", p.hour % 24, p.minute % 60, p.second % 60);
    return text;
}

std::string to_date(std::int64_t utc_ms)
{
    return to_rfc3339(utc_ms).substr(0, 10);
}

} // namespace chockside
