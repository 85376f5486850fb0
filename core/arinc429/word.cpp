#include <core/arinc429/word.h>

#include <algorithm>
#include <cmath>

namespace chockside::arinc429 {

double Bnr::step() const
{
    return full_scale / static_cast<double>(1u << (msb - lsb + 1));
}

double decode_bnr(std::uint32_t word, const Bnr& b)
{
    const int above = 31 - b.msb; // bits over the sign, which is bit msb + 1 and so 2^msb
    const auto shifted = static_cast<std::int32_t>(word << above);
    return static_cast<double>(shifted >> (above + b.lsb - 1)) * b.step();
}

std::uint32_t encode_bnr(double value, const Bnr& b, bool wraps)
{
    const int width = b.msb - b.lsb + 2;
    const auto half = static_cast<std::int64_t>(1) << (width - 1);
    if (!std::isfinite(value)) return 0;
    const double turns = wraps ? std::remainder(value, 2 * b.full_scale) : value;
    const double steps = std::clamp(std::round(turns / b.step()), -static_cast<double>(half), static_cast<double>(half));
    auto n = static_cast<std::int64_t>(steps);
    if (n == half) n = wraps ? -half : half - 1;
    const auto field = static_cast<std::uint32_t>(n & (2 * half - 1));
    return field << (b.lsb - 11);
}

Ssm bnr_status(std::uint32_t word)
{
    return static_cast<Ssm>(ssm_bits_of(word));
}

std::optional<double> decode_bcd(std::uint32_t word, int digits, double scale)
{
    double magnitude = (word >> 26) & 7u;
    for (int i = 1; i < digits; ++i) {
        const std::uint32_t digit = word >> (26 - 4 * i) & 0xFu;
        if (digit > 9) return std::nullopt;
        magnitude = magnitude * 10 + digit;
    }
    return (ssm_bits_of(word) == 3 ? -magnitude : magnitude) * scale;
}

std::optional<std::uint32_t> encode_bcd(double value, int digits, double scale)
{
    const double steps = std::round(std::fabs(value) / scale);
    if (!(steps <= 79999)) return std::nullopt;
    auto rest = static_cast<std::uint32_t>(steps);
    std::uint32_t data = 0;
    for (int i = digits - 1; i >= 0; --i) {
        data |= (i == 0 ? rest : rest % 10) << (16 - 4 * i);
        if (i == 0 && rest > 7) return std::nullopt;
        rest /= 10;
    }
    return data;
}

Ssm bcd_status(std::uint32_t word)
{
    const unsigned s = ssm_bits_of(word);
    return s == 1 ? Ssm::no_computed_data : s == 2 ? Ssm::functional_test : Ssm::normal;
}

Ssm discrete_status(std::uint32_t word)
{
    const unsigned s = ssm_bits_of(word);
    return s == 0 ? Ssm::normal : s == 3 ? Ssm::failure_warning : static_cast<Ssm>(s);
}

unsigned bnr_ssm(Ssm s)
{
    return static_cast<unsigned>(s);
}

unsigned bcd_ssm(Ssm s, bool negative)
{
    if (s == Ssm::normal) return negative ? 3 : 0;
    return s == Ssm::functional_test ? 2 : 1;
}

unsigned discrete_ssm(Ssm s)
{
    if (s == Ssm::normal) return 0;
    return s == Ssm::failure_warning ? 3 : static_cast<unsigned>(s);
}

} // namespace chockside::arinc429
