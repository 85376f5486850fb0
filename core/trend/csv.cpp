#include <core/trend/csv.h>

#include <charconv>
#include <cmath>

namespace chockside::trend {

namespace {

constexpr std::size_t piece = 64u << 10;

std::string field(const std::string& text)
{
    if (text.find_first_of(",\"\r\n") == std::string::npos) return text;
    std::string out = "\"";
    for (const char c : text) out += c == '"' ? std::string("\"\"") : std::string(1, c);
    return out + "\"";
}

template <class... Base>
void number(std::string& out, auto value, Base... base)
{
    char text[40];
    const auto end = std::to_chars(text, text + sizeof text, value, base...);
    out.append(text, end.ptr);
}

/// Seconds with nine decimals, by whole numbers: a double would lose the last of them after some weeks.
void seconds(std::string& out, std::int64_t ns)
{
    const bool minus = ns < 0;
    const std::uint64_t size = minus ? 0 - static_cast<std::uint64_t>(ns) : static_cast<std::uint64_t>(ns);
    if (minus) out += '-';
    number(out, size / 1'000'000'000);
    const std::string rest = std::to_string(size % 1'000'000'000);
    out += '.' + std::string(9 - rest.size(), '0') + rest;
}

void line(std::string& out, const Sample& s, std::int64_t from_ns, const std::string& name, const std::string& unit)
{
    number(out, s.t_ns);
    out += ',';
    seconds(out, static_cast<std::int64_t>(static_cast<std::uint64_t>(s.t_ns) - static_cast<std::uint64_t>(from_ns)));
    out += ',' + name + ',';
    if (std::isfinite(s.value)) number(out, s.value);
    out += ',' + unit + ',';
    out += codec::name_of(s.validity);
    out += ",0x";
    number(out, s.raw, 16);
    out += "\r\n";
}

} // namespace

Result<std::vector<Damage>> write_csv(const Trend& trend, std::span<const SeriesId> series, std::int64_t from_ns, std::int64_t to_ns, const std::function<Status(std::string_view)>& sink)
{
    std::string out = "t_utc_ns,t_s,signal,value,unit,valid,raw\r\n";
    std::vector<Damage> damage;
    Status status;
    for (const SeriesId id : series) {
        if (id >= trend.series().size()) return fail("unknown_series", std::to_string(id));
        const std::string name = field(trend.series()[id].name), unit = field(trend.series()[id].unit);
        const auto broken = each_sample(trend, id, from_ns, to_ns, [&](const Sample& s) {
            line(out, s, from_ns, name, unit);
            if (out.size() < piece) return true;
            status = sink(out);
            out.clear();
            return status.has_value();
        });
        if (!broken) return broken;
        if (!status) return Unexpected{status.error()};
        damage.insert(damage.end(), broken->begin(), broken->end());
    }
    if (!out.empty()) status = sink(out);
    if (!status) return Unexpected{status.error()};
    return damage;
}

} // namespace chockside::trend
