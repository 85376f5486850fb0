#include <core/arinc429/word.h>
#include <core/codec/detail/compiler.h>

#include <algorithm>
#include <cmath>

namespace chockside::codec::detail {

using profile::Word;

namespace {

bool fits(const Word& w)
{
    if (w.label < 0 || w.label > 0377) return false;
    if (w.coding == Word::Coding::bnr) return w.lsb >= 11 && w.msb <= 28 && w.lsb <= w.msb && w.full_scale > 0;
    if (w.coding == Word::Coding::bcd) return w.digits >= 1 && w.digits <= 5 && w.scale > 0;
    for (const auto& [bit, name] : w.bits)
        if (bit < 11 || bit > 29) return false;
    return true;
}

} // namespace

double Compiler::worst_word() const
{
    double worst = 1;
    for (const WordProgram& w : p_.words) worst = std::max(worst, 1.0 + w.bit_count);
    return worst;
}

Status Compiler::words()
{
    for (const Word& w : p_.unit.words)
        if (Status s = word(w); !s) return s;
    return {};
}

Status Compiler::word(const Word& w)
{
    if (!fits(w)) return fail("bad_word", w.name);
    std::int16_t& place = p_.word_by_low_byte[arinc429::mirror_label(static_cast<std::uint8_t>(w.label))];
    if (place >= 0) return fail("duplicate_label", w.name, {{"word", w.name}, {"other", "another word"}});
    WordProgram out;
    out.coding = w.coding;
    out.left = static_cast<std::uint8_t>(31 - w.msb);
    out.right = static_cast<std::uint8_t>(out.left + w.lsb - 1);
    out.step = w.coding == Word::Coding::bnr ? arinc429::Bnr{w.msb, w.lsb, w.full_scale}.step() : w.scale;
    out.turn = w.wraps && w.coding == Word::Coding::bnr ? 2 * w.full_scale : 0;
    out.digits = w.digits;
    const std::string name = "word." + w.name;
    Result<SignalId> id = signal({name, w.unit, w.quantity, w.wraps, w.period_ms, false});
    if (!id) return Unexpected{id.error()};
    out.signal = *id;
    out.first_bit = static_cast<std::uint16_t>(p_.bits.size());
    for (const auto& [bit, bit_name] : w.bits) {
        Result<SignalId> bit_id = signal({name + "." + bit_name, {}, {}, false, w.period_ms, true});
        if (!bit_id) return Unexpected{bit_id.error()};
        p_.bits.push_back({static_cast<std::uint8_t>(bit - 1), *bit_id});
        ++out.bit_count;
    }
    place = static_cast<std::int16_t>(p_.words.size());
    p_.words.push_back(out);
    if (w.coding == Word::Coding::bnr) {
        const std::uint8_t label = static_cast<std::uint8_t>(w.label), low = arinc429::mirror_label(label);
        WordLane lane{std::ldexp(out.step, -out.right), {0, out.turn}, 1u << out.left, ~std::uint32_t{0} << out.right, 0, out.signal, true};
        p_.lanes[low] = lane;
        lane.flip = std::uint32_t{label} ^ low;
        p_.turned_lanes[label] = lane;
    }
    return {};
}

} // namespace chockside::codec::detail
