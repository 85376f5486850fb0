#include <core/codec/detail/compiler.h>

#include <algorithm>
#include <cmath>

namespace chockside::codec::detail {

using profile::Field;
using profile::FieldType;

namespace {

OpKind kind_of(FieldType t)
{
    switch (t) {
    case FieldType::f32:
    case FieldType::f64: return OpKind::real;
    case FieldType::bcd: return OpKind::bcd;
    case FieldType::text: return OpKind::text;
    case FieldType::arinc429: return OpKind::words;
    default: return OpKind::load;
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

} // namespace

Status Compiler::run()
{
    p_.word_by_low_byte.fill(-1);
    p_.frame_by_byte.fill(-1);
    p_.select_at = select_at(p_.unit.framing);
    p_.frames.reserve(p_.unit.frames.size());
    for (const profile::Frame& f : p_.unit.frames)
        if (Status s = frame(f); !s) return s;
    return {};
}

Status Compiler::frame(const profile::Frame& f)
{
    p_.frames.push_back({});
    frame_ = &p_.frames.back();
    frame_->name = f.name;
    frame_->id = f.id;
    frame_->id_text = f.id_text;
    frame_->first_op = p_.ops.size();
    counters_.clear();
    if (Status s = index(f, static_cast<std::int16_t>(p_.frames.size() - 1)); !s) return s;
    if (p_.unit.framing.kind == profile::Framing::Kind::lines) {
        if (Status s = line(f); !s) return s;
    } else {
        const std::size_t room = p_.unit.framing.max_bytes - std::min(p_.unit.framing.max_bytes, p_.check.bytes());
        const auto laid = layout(f.fields, lead_bytes(p_.unit.framing), room);
        if (!laid) return fail(laid.error().code, f.name, laid.error().args);
        if (laid->front().bytes > room) return fail("frame_too_long", f.name);
        if (Status s = runs(*laid, f); !s) return s;
    }
    frame_->op_count = p_.ops.size() - frame_->first_op;
    p_.worst_observations = std::max(p_.worst_observations, frame_->worst_observations);
    return {};
}

Status Compiler::index(const profile::Frame& f, std::int16_t at)
{
    if (p_.unit.framing.kind == profile::Framing::Kind::lines) {
        for (const FrameProgram& other : p_.frames)
            if (&other != frame_ && other.id_text == f.id_text) return fail("duplicate_frame_id", f.name);
        return {};
    }
    if (p_.unit.framing.select_bytes < 4 && f.id >> (8 * p_.unit.framing.select_bytes)) return fail("bad_frame_id", f.name);
    if (!p_.frame_by_id.emplace(f.id, at).second) return fail("duplicate_frame_id", f.name);
    if (p_.unit.framing.select_bytes == 1) p_.frame_by_byte[f.id & 0xFFu] = at;
    return {};
}

Status Compiler::runs(const std::vector<Run>& laid, const profile::Frame& f)
{
    for (const Run& run : laid) {
        Op need;
        need.bytes16 = static_cast<std::uint16_t>(run.bytes);
        p_.ops.push_back(need);
        per_body_ = 0;
        if (Status s = slots(run.slots, f.name + ".", f.period_ms); !s) return s;
        frame_->worst_observations += per_body_;
        Op advance;
        advance.kind = OpKind::advance;
        advance.bytes16 = static_cast<std::uint16_t>(run.bytes);
        p_.ops.push_back(advance);
        if (run.repeated)
            if (Status s = repeated(run, f); !s) return s;
    }
    return {};
}

Status Compiler::slots(const std::vector<Slot>& list, const std::string& prefix, int period_ms)
{
    for (const Slot& s : list)
        if (Status done = field_op(s, prefix, period_ms); !done) return done;
    return {};
}

Status Compiler::repeated(const Run& run, const profile::Frame& f)
{
    const Field& r = *run.repeated;
    const std::size_t at = p_.ops.size();
    Op op;
    op.kind = r.type == FieldType::arinc429 ? OpKind::words : OpKind::loop;
    op.bytes16 = static_cast<std::uint16_t>(run.body_bytes);
    op.reg = register_of(r.repeat_count);
    op.most = static_cast<std::uint8_t>(std::min<std::size_t>(run.most, 255));
    per_body_ = 0;
    if (op.kind == OpKind::words) {
        describe(op, r);
        p_.ops.push_back(op);
        if (p_.words.empty())
            if (Status s = words(); !s) return s;
        std::size_t worst = 0;
        for (const WordProgram& w : p_.words) worst = std::max<std::size_t>(worst, 1u + w.bit_count);
        frame_->worst_observations += worst * op.most;
        return {};
    }
    p_.ops.push_back(op);
    const bool group = r.type == FieldType::group;
    const std::vector<Slot> single{{&r, 0, run.body_bytes}};
    const std::string prefix = group ? f.name + "." + r.name + "." : f.name + ".";
    if (Status s = slots(group ? run.body : single, prefix, f.period_ms); !s) return s;
    p_.ops[at].body_ops = static_cast<std::uint16_t>(p_.ops.size() - at - 1);
    frame_->worst_observations += per_body_ * op.most;
    return {};
}

Status Compiler::field_op(const Slot& slot, const std::string& prefix, int period_ms)
{
    const Field& f = *slot.field;
    Op op;
    op.kind = kind_of(f.type);
    op.bytes = static_cast<std::uint8_t>(std::min<std::size_t>(slot.bytes, 255));
    op.bytes16 = static_cast<std::uint16_t>(slot.bytes);
    op.offset = static_cast<std::uint16_t>(slot.offset);
    describe(op, f);
    const std::string name = prefix + f.name;
    if (op.kind == OpKind::text) {
        op.signal = static_cast<SignalId>(frame_->texts.size());
        frame_->texts.push_back({name, f.pad});
        p_.ops.push_back(op);
        return {};
    }
    if (op.kind == OpKind::words) {
        op.most = 1;
        p_.ops.push_back(op);
        frame_->worst_observations += 20; // one word with all its bits named
        return p_.words.empty() ? words() : Status{};
    }
    Result<SignalId> id = signal({name, f.unit, {}, false, period_ms, false});
    if (!id) return Unexpected{id.error()};
    op.signal = *id;
    ++per_body_;
    if (Status s = bits(f, name, period_ms, op); !s) return s;
    if (f.type <= FieldType::u32) {
        counters_.push_back(f.name);
        op.reg = static_cast<std::uint8_t>(counters_.size() - 1);
    }
    if (counters_.size() > 64) return fail("bad_field", name, {{"why", "too_many_fields"}});
    p_.ops.push_back(op);
    return {};
}

void Compiler::describe(Op& op, const Field& f)
{
    const profile::Order order = f.order.value_or(p_.unit.framing.order);
    if (order == profile::Order::big) op.flags |= big_endian;
    if (is_signed(f.type)) op.flags |= is_signed_value;
    if (f.label_reversed) op.flags |= label_turned;
    op.shift = static_cast<std::uint8_t>(f.at_bit.value_or(0));
    op.width = static_cast<std::uint8_t>(f.bit_width.value_or(static_cast<int>(std::min<std::size_t>(width_of(f), 8)) * 8 - op.shift));
    if (f.type == FieldType::bcd) op.width = static_cast<std::uint8_t>(f.digits);
    if (f.scale != 1 || f.offset != 0) op.scale = keep(p_.scales, Scale{f.scale, f.offset});
    if (f.range) op.limit = keep(p_.limits, Limit{f.range->first, f.range->second});
    if (!f.enumeration.empty()) {
        op.flags |= has_enum;
        const auto found = p_.unit.enums.find(f.enumeration);
        op.invalid = keep(p_.invalids, found == p_.unit.enums.end() ? std::vector<std::uint64_t>{} : codes_of(found->second));
    } else if (!f.invalid.empty()) {
        std::vector<std::uint64_t> codes = f.invalid;
        std::sort(codes.begin(), codes.end());
        op.invalid = keep(p_.invalids, std::move(codes));
    }
}

Status Compiler::bits(const Field& f, const std::string& name, int period_ms, Op& op)
{
    op.first_bit = static_cast<std::uint16_t>(p_.bits.size());
    for (const auto& [number, bit] : f.bits) {
        Result<SignalId> id = signal({name + "." + bit, {}, {}, false, period_ms, true});
        if (!id) return Unexpected{id.error()};
        p_.bits.push_back({static_cast<std::uint8_t>(number), *id});
        ++op.bit_count;
        ++per_body_;
    }
    return {};
}

Result<SignalId> Compiler::signal(Signal row)
{
    if (p_.signals.id(row.name)) return fail("duplicate_signal", row.name);
    if (p_.signals.all().size() >= none) return fail("too_many_signals");
    return p_.signals.add(std::move(row));
}

std::uint8_t Compiler::register_of(const std::string& counter) const
{
    const auto found = std::find(counters_.begin(), counters_.end(), counter);
    return static_cast<std::uint8_t>(found - counters_.begin());
}

} // namespace chockside::codec::detail
