#include <core/practice/detail/pack.h>

#include <algorithm>
#include <bit>
#include <cmath>
#include <utility>

namespace chockside::practice::detail {

namespace {

constexpr std::byte end_mark{0xC0}, escape{0xDB}, escaped_end{0xDC}, escaped_escape{0xDD};
constexpr std::size_t longest = 300;

std::uint32_t with_parity(std::uint32_t word)
{
    return std::popcount(word) % 2 == 0 ? word | 0x80000000u : word;
}

} // namespace

Packer& Packer::u8(unsigned v)
{
    out_.push_back(static_cast<std::byte>(v & 0xFF));
    return *this;
}

Packer& Packer::u16(unsigned v)
{
    return u8(v >> 8).u8(v);
}

Packer& Packer::u32(std::uint32_t v)
{
    return u16(v >> 16).u16(v & 0xFFFF);
}

Packer& Packer::text(std::string_view words, std::size_t bytes)
{
    for (std::size_t i = 0; i < bytes; ++i) u8(static_cast<unsigned char>(i < words.size() ? words[i] : ' '));
    return *this;
}

Packer& Packer::bcd2(int v)
{
    const int clipped = std::clamp(v, 0, 99);
    return u8(static_cast<unsigned>(clipped / 10 * 16 + clipped % 10));
}

std::uint16_t crc16(ByteView bytes)
{
    std::uint32_t crc = 0xFFFF;
    for (std::byte b : bytes) {
        crc ^= std::to_integer<std::uint32_t>(b) << 8;
        for (int bit = 0; bit < 8; ++bit) crc = (crc & 0x8000) ? ((crc << 1) ^ 0x1021) & 0xFFFF : (crc << 1) & 0xFFFF;
    }
    return static_cast<std::uint16_t>(crc);
}

Bytes slip_frame(const Bytes& payload)
{
    const unsigned crc = crc16(payload);
    Bytes whole = payload;
    whole.push_back(static_cast<std::byte>(crc >> 8));
    whole.push_back(static_cast<std::byte>(crc & 0xFF));
    Bytes out{end_mark};
    for (std::byte b : whole) {
        if (b == end_mark) out.insert(out.end(), {escape, escaped_end});
        else if (b == escape) out.insert(out.end(), {escape, escaped_escape});
        else out.push_back(b);
    }
    out.push_back(end_mark);
    return out;
}

std::optional<Bytes> SlipReader::feed(std::byte b)
{
    if (b == end_mark) return end();
    if (escaped_) {
        escaped_ = false;
        if (b != escaped_end && b != escaped_escape) spoilt_ = true;
        b = b == escaped_end ? end_mark : escape;
    } else if (b == escape) {
        escaped_ = true;
        return std::nullopt;
    }
    if (frame_.size() >= longest) spoilt_ = true;
    else frame_.push_back(b);
    return std::nullopt;
}

std::optional<Bytes> SlipReader::end()
{
    Bytes whole = std::exchange(frame_, {});
    const bool bad = spoilt_ || escaped_ || whole.size() < 3;
    spoilt_ = escaped_ = false;
    if (bad) return std::nullopt;
    const std::size_t n = whole.size() - 2;
    const unsigned told = std::to_integer<unsigned>(whole[n]) << 8 | std::to_integer<unsigned>(whole[n + 1]);
    whole.resize(n);
    if (told != crc16(whole)) return std::nullopt;
    return whole;
}

std::uint32_t bnr_word(unsigned label, unsigned source, double value, double full_scale, int msb, int lsb, WordState state)
{
    const int bits = msb - lsb + 1;
    const double step = std::ldexp(full_scale, -bits);
    const auto most = static_cast<std::int64_t>(1) << bits;
    const std::int64_t counts = std::clamp<std::int64_t>(std::llround(value / step), -most, most - 1);
    const auto field = static_cast<std::uint32_t>(counts & (2 * most - 1)); // sign bit above msb
    return with_parity(label | source << 8 | field << (lsb - 1) | static_cast<unsigned>(state) << 29);
}

std::uint32_t bcd_word(unsigned label, unsigned source, double value, bool ok)
{
    auto left = static_cast<std::uint32_t>(std::clamp<std::int64_t>(std::llround(value), 0, 79999));
    std::uint32_t digits = 0;
    for (unsigned shift = 10; shift < 30; shift += 4, left /= 10) digits |= (left % 10) << shift;
    return with_parity(label | source << 8 | digits | (ok ? 0u : 1u) << 29);
}

std::uint32_t bit_word(unsigned label, unsigned source, std::uint32_t bits)
{
    return with_parity(label | source << 8 | bits);
}

} // namespace chockside::practice::detail
