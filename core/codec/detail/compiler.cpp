#include <core/codec/detail/compiler.h>

#include <algorithm>
#include <cstring>

namespace chockside::codec::detail {

using profile::Field;

Status Compiler::run()
{
    p_.word_by_low_byte.fill(-1);
    p_.frame_by_byte.fill(-1);
    p_.select_at = select_at(p_.unit.framing);
    room_ = p_.unit.framing.max_bytes - std::min(p_.unit.framing.max_bytes, p_.check.bytes());
    p_.frames.reserve(p_.unit.frames.size());
    if (Status s = words(); !s) return s;
    for (const profile::Frame& f : p_.unit.frames)
        if (Status s = frame(f); !s) return s;
    for (const profile::Request& r : p_.unit.requests)
        if (Status s = request(r); !s) return s;
    p_.registers = static_cast<std::uint16_t>(registers_.size());
    return {};
}

Status Compiler::frame(const profile::Frame& f)
{
    constexpr double most_observations = 200000;
    p_.frames.push_back({});
    frame_ = &p_.frames.back();
    frame_->index = p_.frames.size() - 1;
    frame_->name = f.name;
    frame_->id = f.id;
    frame_->id_text = f.id_text;
    std::memcpy(&frame_->id_key, f.id_text.data(), std::min<std::size_t>(f.id_text.size(), 8));
    if (f.id_text.size() - 1 < 7) frame_->id_key <<= 64 - 8 * f.id_text.size();
    frame_->first_op = p_.ops.size();
    before_.clear();
    if (Status s = index(f, static_cast<std::int16_t>(p_.frames.size() - 1)); !s) return s;
    Worst worst;
    const Place place{f.name + ".", f.period_ms};
    if (p_.lines()) {
        if (Status s = tokens(f.fields, place, worst); !s) return fail(s.error().code, f.name, s.error().args);
    } else {
        const auto laid = layout(f.fields, lead_bytes(p_.unit.framing), room_);
        if (!laid) return fail(laid.error().code, f.name, laid.error().args);
        if (Status s = parts(*laid, place, worst); !s) return s;
    }
    if (worst.flat + worst.nested > most_observations) return fail("too_many_values", f.name);
    frame_->op_count = p_.ops.size() - frame_->first_op;
    frame_->plain_line = p_.lines() && std::none_of(p_.ops.begin() + static_cast<std::ptrdiff_t>(frame_->first_op), p_.ops.end(), [](const Op& op) { return op.body_ops != 0; });
    frame_->worst_observations = static_cast<std::size_t>(worst.flat + worst.nested) + 1;
    p_.worst_observations = std::max(p_.worst_observations, frame_->worst_observations);
    return {};
}

// What a request sends is laid out when it is sent; here only that it can be.
Status Compiler::request(const profile::Request& r)
{
    if (p_.lines()) return {};
    std::vector<Field> fields = r.fields;
    for (Field& f : fields)
        if (f.name.empty()) f.name = f.arg;
    const auto laid = layout(fields, lead_bytes(p_.unit.framing), room_);
    return laid ? Status{} : Status(fail(laid.error().code, r.name, laid.error().args));
}

Status Compiler::index(const profile::Frame& f, std::int16_t at)
{
    const profile::Framing& framing = p_.unit.framing;
    if (p_.lines()) {
        for (const FrameProgram& other : p_.frames)
            if (&other != frame_ && (framing.select_none || other.id_text == f.id_text)) return fail("duplicate_frame_id", f.name, {{"frame", f.name}, {"other", other.name}});
        return {};
    }
    if (framing.select_bytes < 4 && f.id >> (8 * framing.select_bytes) && framing.select_bytes > 0) return fail("bad_frame_id", f.name);
    if (!p_.frame_by_id.emplace(framing.select_bytes ? f.id : 0, at).second) return fail("duplicate_frame_id", f.name, {{"frame", f.name}, {"other", p_.frames[static_cast<std::size_t>(p_.frame_by_id.at(framing.select_bytes ? f.id : 0))].name}});
    if (framing.select_bytes == 1) p_.frame_by_byte[f.id & 0xFFu] = at;
    return {};
}

Status Compiler::parts(const std::vector<Part>& list, const Place& place, Worst& worst)
{
    for (const Part& one : list)
        if (Status s = part(one, place, worst); !s) return s;
    return {};
}

Status Compiler::part(const Part& one, const Place& place, Worst& worst)
{
    switch (one.kind) {
    case Part::Kind::fixed: return fixed(one, place, worst);
    case Part::Kind::repeat: return repeat(one, place, worst);
    case Part::Kind::optional: return optional(one, place, worst);
    case Part::Kind::text: return free_text(one, place);
    }
    return {};
}

Status Compiler::fixed(const Part& one, const Place& place, Worst& worst)
{
    if (one.bytes == 0) return {};
    Op need;
    need.bytes16 = static_cast<std::uint16_t>(one.bytes);
    p_.ops.push_back(need);
    for (const Slot& s : one.slots)
        if (Status done = field_op(s, place, worst); !done) return done;
    Op advance;
    advance.kind = OpKind::advance;
    advance.bytes16 = need.bytes16;
    p_.ops.push_back(advance);
    return {};
}

Compiler::Place Compiler::inside(const Field& f, const Place& place) const
{
    return f.type == profile::FieldType::group ? Place{place.prefix + f.name + ".", place.period_ms} : place;
}

Status Compiler::close(std::size_t at)
{
    const std::size_t n = p_.ops.size() - at - 1;
    if (n >= none) return fail("too_many_signals");
    p_.ops[at].body_ops = static_cast<std::uint16_t>(n);
    return {};
}

// Nested counts multiply, but every repetition takes bytes: what a byte can stand for bounds them as well.
void Compiler::add_repeated(Worst& whole, const Worst& body, std::size_t most, std::size_t least) const
{
    const double a_byte = std::max(body.flat / static_cast<double>(least), body.a_byte);
    whole.nested += std::min(static_cast<double>(most) * (body.flat + body.nested), static_cast<double>(room_) * a_byte);
    whole.a_byte = std::max(whole.a_byte, a_byte);
}

Status Compiler::repeat(const Part& one, const Place& place, Worst& worst)
{
    if (one.field->type == profile::FieldType::arinc429) return repeated_words(one, worst);
    Op op;
    op.kind = OpKind::loop;
    if (one.source) op.reg = register_of(*one.source);
    if (one.field->repeat_to_end) op.flags |= to_end;
    op.most = static_cast<std::uint16_t>(one.most);
    const std::size_t at = p_.ops.size();
    p_.ops.push_back(op);
    Worst body;
    if (Status s = parts(one.body, inside(*one.field, place), body); !s) return s;
    add_repeated(worst, body, one.most, least_bytes(one.body));
    return close(at);
}

Status Compiler::repeated_words(const Part& one, Worst& worst)
{
    Op op;
    op.kind = OpKind::words;
    describe(op, *one.field);
    if (one.source) op.reg = register_of(*one.source);
    if (one.field->repeat_to_end) op.flags |= to_end;
    op.most = static_cast<std::uint16_t>(one.most);
    p_.ops.push_back(op);
    add_repeated(worst, {worst_word(), 0, 0}, one.most, 4);
    return {};
}

Status Compiler::optional(const Part& one, const Place& place, Worst& worst)
{
    const std::size_t at = p_.ops.size();
    p_.ops.push_back(guard(*one.field->when, register_of(*one.source)));
    if (Status s = parts(one.body, one.body.size() == 1 && one.body[0].kind != Part::Kind::fixed ? place : inside(*one.field, place), worst); !s) return s;
    return close(at);
}

Status Compiler::free_text(const Part& one, const Place& place)
{
    Op op;
    op.kind = OpKind::free_text;
    if (one.source) op.reg = register_of(*one.source);
    if (one.field->ends == "frame") op.flags |= to_end;
    op.most = static_cast<std::uint16_t>(one.most);
    name_text(op, *one.field, place);
    p_.ops.push_back(op);
    return {};
}

std::uint16_t Compiler::register_of(const Field& f)
{
    const auto [found, made] = registers_.emplace(&f, static_cast<std::uint16_t>(registers_.size()));
    if (made) {
        Op& op = p_.ops[load_of_.at(&f)];
        op.reg = found->second;
        op.quick = false;
    }
    return found->second;
}

Result<SignalId> Compiler::signal(Signal row)
{
    if (p_.signals.id(row.name)) return fail("duplicate_signal", row.name);
    if (p_.signals.all().size() >= none) return fail("too_many_signals");
    return p_.signals.add(std::move(row));
}

} // namespace chockside::codec::detail
