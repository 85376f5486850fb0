#include <core/codec/detail/checksum.h>

#include <core/framing/framer.h>

#include <algorithm>
#include <array>

namespace chockside::codec::detail {

using Kind = profile::Checksum::Kind;

namespace {

/// What a hexadecimal digit is worth; 255: it is none.
constexpr auto hex_digits = [] {
    std::array<std::uint8_t, 256> t{};
    t.fill(255);
    for (unsigned i = 0; i < 10; ++i) t['0' + i] = static_cast<std::uint8_t>(i);
    for (unsigned i = 10; i < 16; ++i) t['A' + i - 10] = t['a' + i - 10] = static_cast<std::uint8_t>(i);
    return t;
}();

/// The high digit of a check and the low one, each with its own character taken out by exclusive-or; what is no digit has a bit that no sum of
/// bytes has, and not the other's.
struct Digits {
    std::array<std::uint16_t, 256> high, low;
};
constexpr Digits digits_and_characters = [] {
    Digits d{};
    for (unsigned c = 0; c < 256; ++c) {
        const unsigned worth = hex_digits[c];
        d.high[c] = static_cast<std::uint16_t>(worth < 16 ? (worth << 4) ^ c : 0x100);
        d.low[c] = static_cast<std::uint16_t>(worth < 16 ? worth ^ c : 0x200);
    }
    return d;
}();

template <class Number>
Number number_of(ByteView bytes, bool big)
{
    Number n = 0;
    for (std::size_t i = 0; i < bytes.size(); ++i) n = n << 8 | std::to_integer<unsigned>(bytes[big ? i : bytes.size() - 1 - i]);
    return n;
}

} // namespace

Check::Check(const profile::Framing& f)
    : kind_(f.checksum.kind), big_(f.checksum.order == profile::Order::big), line_(f.kind == profile::Framing::Kind::lines), started_(f.start != 0),
      mark_(f.checksum.mark), usual_line_(line_ && started_ && mark_ && kind_ == Kind::xor8 && f.checksum.from == 0), from_(f.checksum.from)
{
    if (!line_) tail_ = f.tail;
    if (kind_ == Kind::crc) {
        crc_.emplace(f.checksum.crc);
        bytes_ = static_cast<std::size_t>(crc_->bytes());
    } else if (kind_ != Kind::none) {
        bytes_ = kind_ == Kind::sum16 ? 2 : 1;
    }
}

std::uint64_t Check::of(ByteView bytes) const
{
    switch (kind_) {
    case Kind::crc: return crc_->of(bytes);
    case Kind::xor8: return framing::xor_of(bytes);
    case Kind::sum8_zero: return (0u - framing::sum_of(bytes)) & 0xFFu;
    case Kind::sum16: return framing::sum_of(bytes) & 0xFFFFu;
    default: return framing::sum_of(bytes) & 0xFFu;
    }
}

framing::CrcValue Check::value_of(ByteView bytes) const
{
    return kind_ == Kind::crc ? crc_->value_of(bytes) : of(bytes);
}

bool Check::agrees(ByteView body, ByteView told) const
{
    if (bytes_ > 8) [[unlikely]] return crc_->value_of(covered(body)) == number_of<framing::CrcValue>(told, big_);
    return of(covered(body)) == number_of<std::uint64_t>(told, big_);
}

ByteView Check::covered(ByteView bytes) const
{
    return bytes.subspan(std::min(from_, bytes.size()));
}

// Text: start character, sentence, mark, two hexadecimal digits a byte. An exclusive-or takes in the whole line and then takes the edges out
// again: lines of a kind differ in length by less than what it takes at once, and a branch on that could not be foreseen.
bool Check::strip_usual_line(ByteView& line) const
{
    const std::size_t n = line.size();
    const auto at = [&](std::size_t i) { return std::to_integer<unsigned>(line[i]); };
    const unsigned edges = at(0) ^ at(n - 3), digits = digits_and_characters.high[at(n - 2)] ^ digits_and_characters.low[at(n - 1)];
    const bool right = (framing::xor_of(line) ^ edges ^ digits) == 0 && line[n - 3] == static_cast<std::byte>(mark_);
    line = line.subspan(1, n - 4);
    return right;
}

bool Check::strip_other_line(ByteView& line) const
{
    const std::size_t start = started_ ? 1 : 0, places = kind_ == Kind::none ? 0 : 2 * bytes_, behind = places + (places && mark_ ? 1 : 0);
    if (line.size() < start + behind) return false;
    const ByteView whole = line;
    line = whole.subspan(start, whole.size() - start - behind);
    if (places == 0) return true;
    const std::byte* digit = line.data() + line.size();
    if (mark_ && *digit++ != static_cast<std::byte>(mark_)) return false;
    framing::CrcValue told = 0;
    unsigned wrong = 0;
    for (std::size_t i = 0; i < places; ++i) {
        const std::uint8_t d = hex_digits[std::to_integer<std::size_t>(digit[i])];
        wrong |= d;
        told = told << 4 | d;
    }
    return wrong < 16 && told == value_of(covered(line));
}

bool Check::strip(ByteView& frame) const
{
    if (!tail_.empty()) {
        if (frame.size() < tail_.size() || !std::equal(tail_.begin(), tail_.end(), frame.end() - static_cast<std::ptrdiff_t>(tail_.size()))) return false;
        frame = frame.first(frame.size() - tail_.size());
    }
    if (kind_ == Kind::none) return true;
    if (frame.size() <= bytes_) return false;
    const ByteView body = frame.first(frame.size() - bytes_);
    const ByteView told = frame.last(bytes_);
    frame = body;
    return agrees(body, told);
}

void Check::append(Bytes& frame) const
{
    if (kind_ != Kind::none) {
        const framing::CrcValue value = value_of(covered(line_ && started_ ? ByteView(frame).subspan(1) : ByteView(frame)));
        if (line_ && mark_) frame.push_back(static_cast<std::byte>(mark_));
        const std::size_t places = line_ ? 2 * bytes_ : bytes_;
        for (std::size_t i = 0; i < places; ++i) {
            const std::size_t at = line_ || big_ ? places - 1 - i : i;
            if (line_)
                frame.push_back(static_cast<std::byte>("0123456789ABCDEF"[value >> (4 * at) & 0xFu]));
            else
                frame.push_back(static_cast<std::byte>(value >> (8 * at) & 0xFFu));
        }
    }
    frame.insert(frame.end(), tail_.begin(), tail_.end());
}

} // namespace chockside::codec::detail
