#include <core/arinc429/word.h>
#include <core/codec/detail/reader.h>

#include <bit>
#include <cstring>
#include <limits>

namespace chockside::codec::detail {

using profile::Word;

namespace {

/// By bits 30 and 31, and again under a set parity bit: what bits 30 to 32 say is one index.
constexpr Validity by_ssm[] = {Validity::failure_warning, Validity::no_computed_data, Validity::functional_test, Validity::good, Validity::failure_warning,
    Validity::no_computed_data, Validity::functional_test, Validity::good};

Validity validity_of(arinc429::Ssm s)
{
    return by_ssm[static_cast<int>(s)];
}

} // namespace

// The usual word, BNR without named bits, stays in this loop; its state is local so that stores into the output cannot touch it.
void Reader::words(const Op& op, const std::byte* p, std::size_t n)
{
    const auto* in = reinterpret_cast<const unsigned char*>(p);
    const bool swap = ((op.flags & big_endian) != 0) == (std::endian::native == std::endian::little);
    const WordLane* const lanes = (op.flags & label_turned ? p_.turned_lanes : p_.lanes).data();
    const std::int64_t t_ns = t_ns_;
    const std::uint32_t frame_no = frame_no_;
    Observation* out = out_.data() + count_;
    for (const unsigned char* const end = in + 4 * n; in != end; in += 4) {
        std::uint32_t w;
        std::memcpy(&w, in, 4);
        if (swap) w = __builtin_bswap32(w);
        const WordLane& f = lanes[w & 0xFFu];
        if (!f.plain || __builtin_parity(w) == 0) [[unlikely]] {
            if (op.flags & label_turned) w = (w & ~0xFFu) | arinc429::mirror_label(static_cast<std::uint8_t>(w));
            count_ = static_cast<std::size_t>(out - out_.data());
            word(w);
            out = out_.data() + count_;
            continue;
        }
        const std::uint32_t field = w * f.lift & f.field;
        const double value = static_cast<double>(static_cast<std::int32_t>(field)) * f.step + f.turn[field >> 31];
        *out++ = {t_ns, w ^ f.flip, value, frame_no, f.signal, by_ssm[w >> 29]};
    }
    count_ = static_cast<std::size_t>(out - out_.data());
}

// Every other word: wrong parity, unknown label, decimal, discrete.
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
