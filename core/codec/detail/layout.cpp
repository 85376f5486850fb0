#include <core/codec/detail/layout.h>

#include <algorithm>

namespace chockside::codec::detail {

using profile::Field;
using profile::FieldType;

std::size_t width_of(const Field& f)
{
    switch (f.type) {
    case FieldType::u8:
    case FieldType::i8: return 1;
    case FieldType::u16:
    case FieldType::i16: return 2;
    case FieldType::u24: return 3;
    case FieldType::u32:
    case FieldType::i32:
    case FieldType::f32:
    case FieldType::arinc429: return 4;
    case FieldType::f64: return 8;
    case FieldType::bcd: return static_cast<std::size_t>(f.digits + 1) / 2;
    case FieldType::text: return static_cast<std::size_t>(f.bytes);
    case FieldType::group:
    case FieldType::number_text: return 0;
    }
    return 0;
}

bool is_signed(FieldType t)
{
    return t == FieldType::i8 || t == FieldType::i16 || t == FieldType::i32;
}

namespace {

bool repeats(const Field& f)
{
    return !f.repeat_count.empty();
}

Status check_field(const Field& f)
{
    const auto bad = [&](const char* why) { return fail("bad_field", {}, {{"field", f.name}, {"why", why}}); };
    const std::size_t bytes = width_of(f);
    if (f.type == FieldType::number_text) return bad("number_text_outside_lines");
    if (f.type == FieldType::group && !repeats(f)) return bad("group_without_repeat");
    if (f.type != FieldType::group && bytes == 0) return bad("no_width");
    if (f.type == FieldType::bcd && f.digits > 16) return bad("too_many_digits");
    const bool whole = f.type <= FieldType::i32;
    if ((f.at_bit || f.bit_width) && !whole) return bad("bits_of_no_integer");
    const int bit = f.at_bit.value_or(0), width = f.bit_width.value_or(static_cast<int>(bytes) * 8 - bit);
    if (whole && (bit < 0 || width < 1 || bit + width > static_cast<int>(bytes) * 8)) return bad("bits_outside_field");
    for (const auto& [number, name] : f.bits)
        if (number < 0 || number >= width) return bad("bits_outside_field");
    return {};
}

Status place(const Field& f, std::vector<Slot>& slots, std::size_t& cursor, std::size_t& end)
{
    if (Status s = check_field(f); !s) return s;
    const std::size_t at = f.at_byte ? static_cast<std::size_t>(*f.at_byte) : cursor;
    const std::size_t bytes = width_of(f);
    slots.push_back({&f, at, bytes});
    cursor = at + bytes;
    end = std::max(end, cursor);
    return {};
}

Status place_body(const Field& group, Run& run)
{
    std::size_t cursor = 0;
    for (const Field& f : group.fields) {
        if (repeats(f)) return fail("nested_repeat", {}, {{"field", f.name}});
        if (Status s = place(f, run.body, cursor, run.body_bytes); !s) return s;
    }
    if (run.body_bytes == 0) return fail("bad_field", {}, {{"field", group.name}, {"why", "empty_group"}});
    return {};
}

const Field* counter_of(const std::vector<Field>& fields, const Field& repeated)
{
    for (const Field& f : fields) {
        if (&f == &repeated) return nullptr;
        if (f.name == repeated.repeat_count && f.type <= FieldType::u32 && !repeats(f)) return &f;
    }
    return nullptr;
}

} // namespace

Result<std::vector<Run>> layout(const std::vector<Field>& fields, std::size_t lead, std::size_t max_bytes)
{
    std::vector<Run> runs(1);
    std::size_t cursor = lead;
    runs.back().bytes = lead;
    for (const Field& f : fields) {
        Run& run = runs.back();
        if (!repeats(f)) {
            if (Status s = place(f, run.slots, cursor, run.bytes); !s) return Unexpected{s.error()};
            continue;
        }
        const Field* counter = counter_of(fields, f);
        if (!counter) return fail("unknown_count", {}, {{"field", f.name}, {"count", f.repeat_count}});
        run.repeated = &f;
        if (f.type == FieldType::group) {
            if (Status s = place_body(f, run); !s) return Unexpected{s.error()};
        } else {
            if (Status s = check_field(f); !s) return Unexpected{s.error()};
            run.body_bytes = width_of(f);
        }
        run.most = max_bytes / run.body_bytes;
        if (counter->range) run.most = std::min(run.most, static_cast<std::size_t>(std::max(0.0, counter->range->second)));
        cursor = 0;
        runs.emplace_back();
    }
    return runs;
}

std::size_t select_at(const profile::Framing& f)
{
    return f.kind == profile::Framing::Kind::length_prefixed ? std::max(f.sync.size(), f.length_at + static_cast<std::size_t>(f.length_bytes))
                                                             : f.sync.size();
}

std::size_t lead_bytes(const profile::Framing& f)
{
    return select_at(f) + static_cast<std::size_t>(f.select_bytes);
}

} // namespace chockside::codec::detail
