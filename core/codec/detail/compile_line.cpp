#include <core/codec/detail/compiler.h>

#include <algorithm>

namespace chockside::codec::detail {

using profile::Field;
using profile::FieldType;

namespace {

std::size_t least_tokens(const Field& f)
{
    if (f.type != FieldType::group) return 1;
    std::size_t n = 0;
    for (const Field& part : f.fields)
        if (!part.when && !repeats(part)) n += least_tokens(part);
    return n;
}

Unexpected<Problem> bad(const Field& f, const char* why)
{
    return fail("bad_field", {}, {{"field", f.name}, {"why", why}});
}

} // namespace

// In a text line the fields are counted, not measured: every op takes the next token (the selector is the first).
Status Compiler::tokens(const std::vector<Field>& list, const Place& place, Worst& worst)
{
    const std::size_t seen = before_.size();
    for (const Field& f : list)
        if (Status s = f.when || repeats(f) ? token_block(f, place, worst) : token(f, place, worst); !s) return s;
    before_.resize(seen);
    return {};
}

Status Compiler::token(const Field& f, const Place& place, Worst& worst)
{
    if (f.type == FieldType::group) return bad(f, "group_without_repeat");
    if (f.type == FieldType::bcd || is_free_text(f) || f.at_byte || f.at_bit || f.bit_width) return bad(f, "not_in_lines");
    if (Status s = field_op({&f, 0, 8}, place, worst); !s) return s;
    Op& op = p_.ops.back();
    op.quick = op.kind == OpKind::decimal || (op.kind == OpKind::digits && op.invalid == none && op.bit_count == 0);
    op.bare = op.scale == none && op.limit == none;
    if (is_unsigned(f.type) || f.type == FieldType::hex_text || f.type == FieldType::letter) before_.push_back(&f);
    return {};
}

Result<std::uint16_t> Compiler::named_register(const Field& user, const std::string& name)
{
    const auto found = std::find_if(before_.rbegin(), before_.rend(), [&](const Field* f) { return f->name == name; });
    if (found == before_.rend()) return fail("unknown_count", {}, {{"field", user.name}, {"count", name}});
    return register_of(**found);
}

Status Compiler::token_block(const Field& f, const Place& place, Worst& worst)
{
    std::size_t first = p_.ops.size();
    const std::size_t outer = first;
    if (f.when) {
        const auto reg = named_register(f, f.when->field);
        if (!reg) return Unexpected{reg.error()};
        p_.ops.push_back(guard(*f.when, *reg));
        ++first;
    }
    const std::size_t least = least_tokens(f);
    if (least == 0) return bad(f, "empty_group");
    if (repeats(f)) {
        Op op;
        op.kind = OpKind::loop;
        if (f.repeat_to_end) op.flags |= to_end;
        if (!f.repeat_to_end) {
            const auto reg = named_register(f, f.repeat_count);
            if (!reg) return Unexpected{reg.error()};
            op.reg = *reg;
        }
        op.most = static_cast<std::uint16_t>(std::min<std::size_t>(room_ / least, f.repeat_most ? static_cast<std::size_t>(*f.repeat_most) : none));
        p_.ops.push_back(op);
    }
    Worst body;
    const Status s = f.type == FieldType::group ? tokens(f.fields, inside(f, place), body) : token(f, place, body);
    if (!s) return s;
    if (repeats(f)) {
        add_repeated(worst, body, p_.ops[first].most, least);
        if (Status done = close(first); !done) return done;
    } else {
        worst.flat += body.flat;
        worst.nested += body.nested;
        worst.a_byte = std::max(worst.a_byte, body.a_byte);
    }
    return f.when ? close(outer) : Status{};
}

} // namespace chockside::codec::detail
