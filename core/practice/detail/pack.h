#pragma once
// The serial note of the practice unit, written down a second time on purpose: it shares no line with the decoder of the tool, so a
// mistake in one of them shows.

#include <core/base/bytes.h>

#include <cstdint>
#include <optional>
#include <string_view>

namespace chockside::practice::detail {

/// Appends big-endian fields.
class Packer {
public:
    explicit Packer(unsigned id) { u8(id); }
    Packer& u8(unsigned v);
    Packer& u16(unsigned v);
    Packer& u32(std::uint32_t v);
    /// Cut or filled with blanks.
    Packer& text(std::string_view words, std::size_t bytes);
    /// Two decimal digits, one nibble each.
    Packer& bcd2(int v);
    const Bytes& bytes() const { return out_; }

private:
    Bytes out_;
};

/// CRC-16/IBM-3740 by bits: poly 0x1021, init 0xFFFF, nothing reflected; check value 0x29B1.
std::uint16_t crc16(ByteView bytes);

/// Checksum appended, RFC 1055 escapes, an END on both sides.
Bytes slip_frame(const Bytes& payload);

/// Takes frames apart byte by byte: gives the payload without its checksum when a good frame ends.
class SlipReader {
public:
    std::optional<Bytes> feed(std::byte b);

private:
    std::optional<Bytes> end();
    Bytes frame_;
    bool escaped_ = false, spoilt_ = false;
};

/// ARINC 429 words as the unit hands them over: label in plain value order in the low eight bits, source number in bits 9-10,
/// state in 30-31, odd parity in 32.
enum class WordState : unsigned { failure = 0, no_data = 1, test = 2, normal = 3 };
std::uint32_t bnr_word(unsigned label, unsigned source, double value, double full_scale, int msb, int lsb, WordState state);
/// Five digits, sign plus: `ok` false gives no computed data.
std::uint32_t bcd_word(unsigned label, unsigned source, double value, bool ok);
/// Bits by ARINC number.
std::uint32_t bit_word(unsigned label, unsigned source, std::uint32_t bits);

} // namespace chockside::practice::detail
