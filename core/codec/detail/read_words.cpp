#include <core/arinc429/word.h>
#include <core/codec/detail/reader.h>

#include <cstring>
#include <limits>

namespace chockside::codec::detail {

using profile::Word;

namespace {

constexpr Validity by_ssm[] = {Validity::failure_warning, Validity::no_computed_data, Validity::functional_test, Validity::good};

Validity validity_of(arinc429::Ssm s)
{
    return by_ssm[static_cast<int>(s)];
}

} // namespace

void Reader::words(const Op& op, const std::byte* p, std::size_t n)
{
    const auto* in = reinterpret_cast<const unsigned char*>(p);
    const bool big = (op.flags & big_endian) != 0, turned = (op.flags & label_turned) != 0;
    for (const unsigned char* const end = in + 4 * n; in != end; in += 4) {
        std::uint32_t w;
        std::memcpy(&w, in, 4);
        if (big == (std::endian::native == std::endian::little)) w = __builtin_bswap32(w);
        if (turned) w = (w & ~0xFFu) | arinc429::mirror_label(static_cast<std::uint8_t>(w & 0xFFu));
        word(w);
    }
}

void Reader::word(std::uint32_t w)
{
    if (!arinc429::parity_is_odd(w)) {
        ++parity_errors;
        return;
    }
    const std::int16_t at = p_.word_by_low_byte[w & 0xFFu];
    if (at < 0) {
        ++unknown_words;
        return;
    }
    const WordProgram& f = p_.words[static_cast<std::size_t>(at)];
    if (f.coding == Word::Coding::bnr) {
        double value = static_cast<double>(static_cast<std::int32_t>(w << f.left) >> f.right) * f.step;
        if (f.turn != 0 && value < 0) value += f.turn;
        return emit(f.signal, w, value, by_ssm[arinc429::ssm_bits_of(w)]);
    }
    if (f.coding == Word::Coding::bcd) {
        const auto value = arinc429::decode_bcd(w, f.digits, f.step);
        if (!value) return emit(f.signal, w, std::numeric_limits<double>::quiet_NaN(), Validity::invalid_code);
        return emit(f.signal, w, *value, validity_of(arinc429::bcd_status(w)));
    }
    const Validity v = validity_of(arinc429::discrete_status(w));
    emit(f.signal, w, static_cast<double>(arinc429::data_of(w)), v);
    for (std::uint8_t i = 0; i < f.bit_count; ++i) {
        const BitSignal& b = p_.bits[f.first_bit + i];
        const std::uint32_t bit = w >> b.bit & 1u;
        emit(b.signal, bit, bit, v);
    }
}

} // namespace chockside::codec::detail
