// One field as one op.
#include <core/codec/detail/compiler.h>

#include <algorithm>

namespace chockside::codec::detail {

using profile::Field;
using profile::FieldType;

namespace {

OpKind kind_of(const Field& f, bool lines)
{
    switch (f.type) {
    case FieldType::f32:
    case FieldType::f64: return lines ? OpKind::decimal : OpKind::real;
    case FieldType::bcd: return OpKind::bcd;
    case FieldType::text: return OpKind::text;
    case FieldType::arinc429: return OpKind::words;
    case FieldType::number_text: return OpKind::decimal;
    case FieldType::hex_text: return OpKind::hex;
    case FieldType::letter: return OpKind::letter;
    default: return lines ? OpKind::digits : OpKind::load;
    }
}

template <class T>
std::uint16_t keep(std::vector<T>& table, T item)
{
    table.push_back(std::move(item));
    return static_cast<std::uint16_t>(table.size() - 1);
}

std::vector<std::uint64_t> codes_of(const std::map<std::uint64_t, std::string>& names)
{
    std::vector<std::uint64_t> codes;
    for (const auto& [code, name] : names) codes.push_back(code);
    return codes;
}

std::vector<std::uint64_t> sorted(std::vector<std::uint64_t> codes)
{
    std::sort(codes.begin(), codes.end());
    return codes;
}

} // namespace

Status Compiler::field_op(const Slot& slot, const Place& place, Worst& worst)
{
    const Field& f = *slot.field;
    Op op;
    op.kind = kind_of(f, p_.lines());
    op.bytes = static_cast<std::uint8_t>(std::min<std::size_t>(slot.bytes, 255));
    op.bytes16 = static_cast<std::uint16_t>(slot.bytes);
    op.offset = static_cast<std::uint16_t>(slot.offset);
    describe(op, f);
    if (op.kind == OpKind::text) {
        name_text(op, f, place);
        p_.ops.push_back(op);
        return {};
    }
    if (op.kind == OpKind::words) {
        worst.flat += worst_word();
        p_.ops.push_back(op);
        return {};
    }
    const std::string name = place.prefix + f.name;
    Result<SignalId> id = signal({name, f.unit, {}, false, place.period_ms, false});
    if (!id) return Unexpected{id.error()};
    op.signal = *id;
    worst.flat += 1;
    if (Status s = bits(f, name, place.period_ms, op, worst); !s) return s;
    load_of_[&f] = p_.ops.size();
    p_.ops.push_back(op);
    return {};
}

void Compiler::name_text(Op& op, const Field& f, const Place& place)
{
    op.signal = static_cast<SignalId>(frame_->texts.size());
    frame_->texts.push_back({place.prefix + f.name, f.pad});
}

void Compiler::describe(Op& op, const Field& f)
{
    if (f.order.value_or(p_.unit.framing.order) == profile::Order::big) op.flags |= big_endian;
    if (f.sign == profile::Sign::magnitude) op.flags |= magnitude;
    else if (f.sign == profile::Sign::nibble) op.flags |= last_nibble;
    else if (is_signed(f)) op.flags |= twos;
    if (f.label_reversed) op.flags |= label_turned;
    op.shift = static_cast<std::uint8_t>(f.at_bit.value_or(0));
    op.width = static_cast<std::uint8_t>(is_whole(f.type) ? bits_of(f) : f.digits);
    if (const Scaling s = scaling_of(f); s.factor != 1 || s.offset != 0) op.scale = keep(p_.scales, Factor{s.factor, s.offset});
    if (f.range) op.limit = keep(p_.limits, Limit{f.range->first, f.range->second});
    if (!f.enumeration.empty()) {
        op.flags |= has_enum;
        const auto found = p_.unit.enums.find(f.enumeration);
        op.invalid = keep(p_.codes, found == p_.unit.enums.end() ? std::vector<std::uint64_t>{} : codes_of(found->second));
    } else if (!f.invalid.empty()) {
        op.invalid = keep(p_.codes, sorted(f.invalid));
    }
}

Status Compiler::bits(const Field& f, const std::string& name, int period_ms, Op& op, Worst& worst)
{
    op.first_bit = static_cast<std::uint16_t>(p_.bits.size());
    for (const auto& [number, bit] : f.bits) {
        Result<SignalId> id = signal({name + "." + bit, {}, {}, false, period_ms, true});
        if (!id) return Unexpected{id.error()};
        p_.bits.push_back({static_cast<std::uint8_t>(number), *id});
        ++op.bit_count;
        worst.flat += 1;
    }
    return {};
}

Op Compiler::guard(const profile::When& when, std::uint16_t reg)
{
    Op op;
    op.kind = OpKind::guard;
    op.reg = reg;
    if (when.bit || when.clear) {
        op.shift = static_cast<std::uint8_t>(when.bit ? *when.bit : *when.clear);
        if (when.clear) op.flags |= wants_clear;
        return op;
    }
    op.invalid = keep(p_.codes, sorted(when.is));
    return op;
}

} // namespace chockside::codec::detail
