#pragma once
// ARINC 429 words as 32-bit integers with bit 1 of the standard as 2^0: label 1-8, SDI 9-10, data 11-29, SSM 30-31, odd parity 32.
// Layout and codings: ARINC Specification 429 part 1, as open tutorials and public encoders give it (the specification is sold).

#include <bit>
#include <cstdint>
#include <optional>

namespace chockside::arinc429 {

/// What the sign/status matrix says of the data. The numbers are the BNR bits; BCD and discrete words spell them differently.
enum class Ssm : std::uint8_t { failure_warning = 0, no_computed_data = 1, functional_test = 2, normal = 3 };

/// Mirrors the eight bits: the label's most significant bit is bit 1 of the word.
constexpr std::uint8_t mirror_label(std::uint8_t v)
{
    v = static_cast<std::uint8_t>((v & 0xF0u) >> 4 | (v & 0x0Fu) << 4);
    v = static_cast<std::uint8_t>((v & 0xCCu) >> 2 | (v & 0x33u) << 2);
    return static_cast<std::uint8_t>((v & 0xAAu) >> 1 | (v & 0x55u) << 1);
}

constexpr int label_of(std::uint32_t word) { return mirror_label(static_cast<std::uint8_t>(word & 0xFFu)); }
constexpr int sdi_of(std::uint32_t word) { return static_cast<int>(word >> 8 & 3u); }
constexpr std::uint32_t data_of(std::uint32_t word) { return word >> 10 & 0x7FFFFu; } ///< bits 29-11, bit 11 as 2^0
constexpr unsigned ssm_bits_of(std::uint32_t word) { return word >> 29 & 3u; }         ///< bits 31-30
constexpr bool parity_is_odd(std::uint32_t word) { return (std::popcount(word) & 1) != 0; }

/// A word with right parity. label 0-255 (octal 000-377), sdi 0-3, data 0 - 2^19-1, ssm 0-3; higher bits are ignored.
constexpr std::uint32_t make_word(int label, int sdi, std::uint32_t data, unsigned ssm)
{
    const std::uint32_t w = mirror_label(static_cast<std::uint8_t>(label & 0xFF)) | static_cast<std::uint32_t>(sdi & 3) << 8
        | (data & 0x7FFFFu) << 10 | (ssm & 3u) << 29;
    return parity_is_odd(w) ? w : w | 0x80000000u;
}

/// A two's complement field: most significant magnitude bit `msb`, sign one above it, least significant bit `lsb`; 11 <= lsb <= msb <= 28.
struct Bnr {
    int msb = 28;
    int lsb = 11;
    double full_scale = 1; ///< value of the sign bit: the field spans [-full_scale, +full_scale)
    double step() const;   ///< value of the least significant bit
};
double decode_bnr(std::uint32_t word, const Bnr&);
/// Data bits (11 as 2^0), rounded to the nearest step, half away from zero; beyond the ends: `wraps` folds (angles), else it clamps.
std::uint32_t encode_bnr(double value, const Bnr&, bool wraps = false);
Ssm bnr_status(std::uint32_t word);

/// Digits from the top: bits 29-27, then four bits each; digits 1-5. Sign in the SSM (11 is minus).
/// Nothing where a digit is above 9 (the first above 7 cannot be written).
std::optional<double> decode_bcd(std::uint32_t word, int digits, double scale);
/// Data bits of the magnitude, or nothing where it does not fit.
std::optional<std::uint32_t> encode_bcd(double value, int digits, double scale);
/// 00 and 11 carry the sign, so BCD has no failure warning.
Ssm bcd_status(std::uint32_t word);
/// 00 is verified data, 11 failure warning (the latter from memory, as no open source confirms it).
Ssm discrete_status(std::uint32_t word);

unsigned bnr_ssm(Ssm);
unsigned bcd_ssm(Ssm, bool negative); ///< failure_warning has no code of its own: it goes out as no_computed_data
unsigned discrete_ssm(Ssm);

} // namespace chockside::arinc429
