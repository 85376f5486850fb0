// Numbers written as text: the fields of text lines, and fields of fixed width in other frames.
#include <core/codec/detail/decimal.h>
#include <core/codec/detail/reader.h>

#include <algorithm>
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

bool fits(const Op& op, std::int64_t whole)
{
    if (op.width >= 63) return true;
    const bool is_signed = (op.flags & (twos | magnitude)) != 0;
    const std::int64_t over = std::int64_t{1} << (is_signed ? op.width - 1 : op.width);
    return whole < over && whole >= (is_signed ? -over : 0);
}

template <class T>
bool whole_of_hex(std::string_view t, T& out)
{
    if (t.size() > 1 && t.front() == '+' && t[1] != '-') t.remove_prefix(1);
    const auto [stop, error] = std::from_chars(t.data(), t.data() + t.size(), out, 16);
    return error == std::errc{} && stop == t.data() + t.size();
}

} // namespace

[[gnu::always_inline]] inline const FrameProgram* Reader::frame_of(std::string_view id) const
{
    std::uint64_t key = 0;
    const bool is_short = eight_of(id, around_, 0, key);
    for (const FrameProgram& f : p_.frames)
        if (f.id_text.size() == id.size() && (is_short ? f.id_key == key : f.id_text == id)) return &f;
    return nullptr;
}

// A short number without codes and bits; false: the usual way, which knows more.
[[gnu::always_inline]] inline bool Reader::quick(const Op& op, std::string_view t, std::string_view around, Observation& out)
{
    Decimal d;
    if (!op.quick || !read_short(t, around, d)) return false;
    double plain = 0;
    if (op.kind == OpKind::decimal) {
        plain = value_of(d);
        out.raw = std::bit_cast<std::uint64_t>(plain);
    } else {
        const auto size = static_cast<std::int64_t>(d.digits), whole = d.minus ? -size : size;
        if (d.point || !fits(op, whole)) return false;
        plain = static_cast<double>(whole);
        out.raw = static_cast<std::uint64_t>(whole);
    }
    out.signal = op.signal;
    out.value = op.bare ? plain : scaled(op, plain);
    out.validity = op.bare ? Validity::good : judge(op, out.value);
    return true;
}

// State is local, so that stores into the output cannot touch it.
[[gnu::always_inline]] inline Reader::Outcome Reader::plain_line(const FrameProgram& f, ShortTokens tokens)
{
    const Op* op = p_.ops.data() + f.first_op;
    const Op* const end = op + f.op_count;
    const std::string_view around = around_;
    const std::int64_t t_ns = t_ns_;
    const std::uint32_t frame_no = frame_no_;
    Observation* out = out_.data();
    Outcome outcome = Outcome::good;
    for (; op != end; ++op) {
        if (!tokens.left()) {
            outcome = Outcome::short_frame;
            break;
        }
        const ByteView one = tokens.next();
        if (quick(*op, as_text(one), around, *out)) [[likely]] {
            out->t_ns = t_ns;
            out->frame_no = frame_no;
            ++out;
            continue;
        }
        count_ = static_cast<std::size_t>(out - out_.data());
        outcome = token(*op, one);
        out = out_.data() + count_;
        if (outcome != Outcome::good) break;
    }
    count_ = static_cast<std::size_t>(out - out_.data());
    if (!f.texts.empty()) end_texts();
    if (outcome != Outcome::good) return outcome;
    return tokens.left() ? Outcome::too_long : Outcome::good;
}

// The selector is the first token; a line of one kind has none.
Reader::Outcome Reader::line(ByteView body, ByteView frame, std::int64_t t_ns, std::uint32_t frame_no, const FrameProgram*& f)
{
    const auto split = static_cast<std::byte>(p_.unit.framing.split);
    around_ = as_text(frame);
    line_ = true;
    if (frame.size() < 64) {
        ShortTokens tokens(body, frame, split);
        f = p_.unit.framing.select_none ? only() : frame_of(as_text(tokens.next()));
        if (f && f->plain_line) {
            begin(*f, t_ns, frame_no);
            return plain_line(*f, tokens);
        }
    }
    tokens_ = Tokens(body, frame.data(), split);
    f = p_.unit.framing.select_none ? only() : frame_of(as_text(tokens_.next()));
    if (!f) return Outcome::good;
    begin(*f, t_ns, frame_no);
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
