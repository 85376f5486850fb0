#include <core/codec/detail/decimal.h>

#include <charconv>
#include <cmath>

namespace chockside::codec::detail {

namespace {

template <class T>
bool by_from_chars(std::string_view t, T& out)
{
    if (t.size() > 1 && t.front() == '+' && t[1] != '-') t.remove_prefix(1);
    const auto [stop, error] = std::from_chars(t.data(), t.data() + t.size(), out);
    return error == std::errc{} && stop == t.data() + t.size();
}

} // namespace

bool read_long(std::string_view t, Decimal& out)
{
    out = {};
    if (t.empty()) return false;
    out.minus = t.front() == '-';
    const char *p = t.data() + out.minus, *const end = t.data() + t.size();
    if (end - p > 19 || p == end) return false;
    const auto n = end - p;
    const char* point = nullptr;
    for (; p != end; ++p) {
        const auto d = static_cast<unsigned>(*p - '0');
        if (d <= 9) {
            out.digits = out.digits * 10 + d;
        } else {
            if (*p != '.' || point) return false;
            point = p;
        }
    }
    if (out.digits >> 53 || n == (point ? 1 : 0)) return false;
    out.point = point != nullptr;
    out.behind = point ? static_cast<unsigned>(end - point - 1) : 0;
    return true;
}

bool read_other(std::string_view t, double& out)
{
    Decimal d;
    if (!read_long(t, d)) return by_from_chars(t, out) && std::isfinite(out);
    out = value_of(d);
    return true;
}

bool read_other(std::string_view t, std::int64_t& out)
{
    return by_from_chars(t, out);
}

} // namespace chockside::codec::detail
