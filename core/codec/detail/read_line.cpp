// Numbers written as text: the fields of text lines, and fields of fixed width in other frames.
#include <core/codec/detail/reader.h>

#include <algorithm>
#include <bit>
#include <charconv>
#include <cmath>
#include <limits>

namespace chockside::codec::detail {

namespace {

std::string_view view(ByteView b)
{
    return {reinterpret_cast<const char*>(b.data()), b.size()};
}

std::string_view trimmed(std::string_view t)
{
    while (!t.empty() && t.front() == ' ') t.remove_prefix(1);
    while (!t.empty() && (t.back() == ' ' || t.back() == '\0')) t.remove_suffix(1);
    return t;
}

// Up to 18 digits that make a whole number below 2^53, over a power of ten that is a double itself: one division rounds as
// std::from_chars does (IEEE 754). Anything else is left to that.
bool plain_decimal(std::string_view t, double& out)
{
    static constexpr double tens[] = {1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18};
    const bool minus = t.front() == '-';
    const char *p = t.data() + minus, *const end = t.data() + t.size();
    if (end - p > 19 || p == end) return false;
    std::uint64_t digits = 0;
    const char* point = nullptr;
    for (; p != end; ++p) {
        const auto d = static_cast<unsigned>(*p - '0');
        if (d <= 9) {
            digits = digits * 10 + d;
        } else {
            if (*p != '.' || point) return false;
            point = p;
        }
    }
    const auto behind = point ? end - point - 1 : 0;
    if (digits >> 53 || end - t.data() - minus - (point ? 1 : 0) == 0) return false;
    const double v = static_cast<double>(digits) / tens[behind];
    out = minus ? -v : v;
    return true;
}

template <class T, class... Base>
bool whole_of(std::string_view t, T& out, Base... base)
{
    if (t.size() > 1 && t.front() == '+' && t[1] != '-') t.remove_prefix(1);
    const auto [stop, error] = std::from_chars(t.data(), t.data() + t.size(), out, base...);
    return error == std::errc{} && stop == t.data() + t.size();
}

} // namespace

Reader::Outcome Reader::run_line(const FrameProgram& f, std::optional<ByteView> tokens, std::int64_t t_ns, std::uint32_t frame_no)
{
    begin(f, t_ns, frame_no);
    line_ = true;
    rest_ = tokens;
    const Op* first = p_.ops.data() + f.first_op;
    const Outcome outcome = runs(first, first + f.op_count);
    if (!f.texts.empty()) end_texts();
    if (outcome != Outcome::good) return outcome;
    return rest_ ? Outcome::too_long : Outcome::good;
}

Reader::Outcome Reader::token(const Op& op)
{
    if (!rest_) return Outcome::short_frame;
    const std::byte* const begin = rest_->data();
    const std::byte* const end = begin + rest_->size();
    const std::byte* stop = begin;
    while (stop != end && *stop != split_) ++stop; // tokens are short
    const ByteView one(begin, stop);
    if (stop == end)
        rest_.reset();
    else
        rest_ = ByteView(stop + 1, end);
    if (op.kind == OpKind::text) {
        text(op, one);
    } else if (op.kind == OpKind::words) {
        std::uint32_t w = 0;
        if (one.size() != 8 || !whole_of(view(one), w, 16)) return Outcome::bad_text;
        std::byte bytes[4];
        for (int i = 0; i < 4; ++i) bytes[op.flags & big_endian ? 3 - i : i] = static_cast<std::byte>(w >> (8 * i) & 0xFFu);
        words(op, bytes, 1);
    } else {
        written(op, one);
    }
    return Outcome::good;
}

void Reader::no_value(const Op& op, Validity validity)
{
    if (op.reg != none) registers_[op.reg] = 0;
    emit(op.signal, 0, std::numeric_limits<double>::quiet_NaN(), validity);
}

// An empty field is data not available, as in NMEA 0183 sentences; what is no number is an invalid code.
void Reader::written(const Op& op, ByteView bytes)
{
    const std::string_view t = line_ ? view(bytes) : trimmed(view(bytes));
    if (t.empty()) return no_value(op, Validity::no_computed_data);
    switch (op.kind) {
    case OpKind::digits: return digits(op, t);
    case OpKind::hex: return hex(op, t);
    case OpKind::letter: return letter(op, t);
    default: return decimal(op, t);
    }
}

void Reader::digits(const Op& op, std::string_view t)
{
    std::int64_t whole = 0;
    if (!whole_of(t, whole)) return no_value(op, Validity::invalid_code);
    const bool is_signed = (op.flags & (twos | magnitude)) != 0;
    if (op.width < 63) {
        const std::int64_t over = std::int64_t{1} << (is_signed ? op.width - 1 : op.width);
        if (whole >= over || whole < (is_signed ? -over : 0)) return no_value(op, Validity::invalid_code);
    }
    number(op, static_cast<std::uint64_t>(whole), whole);
}

void Reader::hex(const Op& op, std::string_view t)
{
    std::uint64_t raw = 0;
    if (t.front() == '+' || t.front() == '-' || !whole_of(t, raw, 16)) return no_value(op, Validity::invalid_code);
    number(op, raw, static_cast<std::int64_t>(raw));
}

void Reader::letter(const Op& op, std::string_view t)
{
    if (t.size() != 1) return no_value(op, Validity::invalid_code);
    const auto code = static_cast<unsigned char>(t.front());
    number(op, code, code);
}

void Reader::decimal(const Op& op, std::string_view t)
{
    double value = 0;
    if (!plain_decimal(t, value) && (!whole_of(t, value) || !std::isfinite(value))) return no_value(op, Validity::invalid_code);
    const double told = scaled(op, value);
    emit(op.signal, std::bit_cast<std::uint64_t>(value), told, judge(op, told));
}

} // namespace chockside::codec::detail
