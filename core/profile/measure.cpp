#include <core/profile/measure.h>

#include <algorithm>
#include <cmath>

namespace chockside::profile {

bool is_whole(FieldType t)
{
    return t <= FieldType::i64;
}

bool is_unsigned(FieldType t)
{
    return t <= FieldType::u64;
}

bool is_signed(const Field& f)
{
    return is_whole(f.type) && (!is_unsigned(f.type) || f.sign != Sign::by_type);
}

bool repeats(const Field& f)
{
    return f.repeat_to_end || !f.repeat_count.empty();
}

bool is_free_text(const Field& f)
{
    return f.type == FieldType::text && (!f.length_field.empty() || !f.ends.empty());
}

std::size_t width_of(const Field& f)
{
    if (is_whole(f.type)) return static_cast<std::size_t>(f.type) % 8 + 1;
    switch (f.type) {
    case FieldType::letter: return 1;
    case FieldType::f32:
    case FieldType::arinc429: return 4;
    case FieldType::f64: return 8;
    case FieldType::bcd: return static_cast<std::size_t>(f.digits + (f.sign == Sign::nibble ? 2 : 1)) / 2;
    case FieldType::text:
    case FieldType::number_text:
    case FieldType::hex_text: return static_cast<std::size_t>(f.bytes);
    default: return 0;
    }
}

int bits_of(const Field& f)
{
    return f.bit_width.value_or(static_cast<int>(width_of(f)) * 8 - f.at_bit.value_or(0));
}

Scaling scaling_of(const Field& f)
{
    if (!f.full_scale) return {f.scale, f.offset};
    return {std::ldexp(*f.full_scale, is_signed(f) ? 1 - bits_of(f) : -bits_of(f)), f.offset};
}

std::size_t select_at(const Framing& f)
{
    if (f.select_at) return static_cast<std::size_t>(*f.select_at);
    return f.kind == Framing::Kind::length_prefixed ? std::max(f.sync.size(), f.length_at + static_cast<std::size_t>(f.length_bytes))
                                                             : f.sync.size();
}

std::size_t lead_bytes(const Framing& f)
{
    return select_at(f) + static_cast<std::size_t>(f.select_bytes);
}

} // namespace chockside::profile
