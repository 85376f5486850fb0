// Numbers written as text: the fields of text lines, and fields of fixed width in other frames.
#include <core/codec/detail/decimal.h>
#include <core/codec/detail/reader.h>

#include <bit>
#include <charconv>
#include <limits>

namespace chockside::codec::detail {

namespace {

std::string_view trimmed(std::string_view t)
{
    while (!t.empty() && t.front() == ' ') t.remove_prefix(1);
    while (!t.empty() && (t.back() == ' ' || t.back() == '\0')) t.remove_suffix(1);
    return t;
}

template <class T>
bool whole_of_hex(std::string_view t, T& out)
{
    if (t.size() > 1 && t.front() == '+' && t[1] != '-') t.remove_prefix(1);
    const auto [stop, error] = std::from_chars(t.data(), t.data() + t.size(), out, 16);
    return error == std::errc{} && stop == t.data() + t.size();
}

} // namespace

const FrameProgram* Reader::frame_of(std::string_view id) const
{
    for (const FrameProgram& f : p_.frames)
        if (f.id_text == id) return &f;
    return nullptr;
}

// The selector is the first token; a line of one kind has none.
Reader::Outcome Reader::any_line(ByteView body, const FrameProgram*& f)
{
    tokens_ = Tokens(body, reinterpret_cast<const std::byte*>(around_.data()), static_cast<std::byte>(p_.unit.framing.split));
    f = p_.unit.framing.select_none ? only() : frame_of(as_text(tokens_.next()));
    if (!f) return Outcome::good;
    begin(*f, t_ns_, frame_no_);
    const Op* first = p_.ops.data() + f->first_op;
    const Outcome outcome = runs(first, first + f->op_count);
    if (!f->texts.empty()) end_texts();
    if (outcome != Outcome::good) return outcome;
    return tokens_.left() ? Outcome::too_long : Outcome::good;
}

Reader::Outcome Reader::token(const Op& op, ByteView one)
{
    if (op.kind == OpKind::text) {
        text(op, one);
    } else if (op.kind == OpKind::words) {
        std::uint32_t w = 0;
        if (one.size() != 8 || !whole_of_hex(as_text(one), w)) return Outcome::bad_text;
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
    const std::string_view t = line_ ? as_text(bytes) : trimmed(as_text(bytes));
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
    if (!read_whole(t, around_, whole)) return no_value(op, Validity::invalid_code);
    if (!fits(op, whole)) return no_value(op, Validity::invalid_code);
    number(op, static_cast<std::uint64_t>(whole), whole);
}

void Reader::hex(const Op& op, std::string_view t)
{
    std::uint64_t raw = 0;
    if (t.front() == '+' || t.front() == '-' || !whole_of_hex(t, raw)) return no_value(op, Validity::invalid_code);
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
    if (!read_number(t, around_, value)) return no_value(op, Validity::invalid_code);
    const double told = scaled(op, value);
    emit(op.signal, std::bit_cast<std::uint64_t>(value), told, judge(op, told));
}

} // namespace chockside::codec::detail
