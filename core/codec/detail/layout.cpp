#include <core/codec/detail/layout.h>

#include <algorithm>

namespace chockside::codec::detail {

using profile::Field;
using profile::FieldType;
using profile::Sign;

namespace {

Unexpected<Problem> bad(const Field& f, const char* why)
{
    return fail("bad_field", {}, {{"field", f.name}, {"why", why}});
}

Status check_field(const Field& f)
{
    const std::size_t bytes = width_of(f);
    const bool whole = is_whole(f.type);
    if (bytes == 0) return bad(f, "no_width");
    if (f.type == FieldType::bcd && f.digits + (f.sign == Sign::nibble ? 1 : 0) > 16) return bad(f, "too_many_digits");
    if (f.type == FieldType::hex_text && f.bytes > 16) return bad(f, "too_many_digits");
    if ((f.type == FieldType::number_text) && f.bytes > 40) return bad(f, "too_many_digits");
    if ((f.at_bit || f.bit_width) && !whole) return bad(f, "bits_of_no_integer");
    if (f.sign == Sign::nibble && f.type != FieldType::bcd) return bad(f, "sign_of_another_type");
    if (f.sign != Sign::by_type && !whole && f.type != FieldType::bcd) return bad(f, "sign_of_another_type");
    if (f.full_scale && !whole) return bad(f, "full_scale_of_no_integer");
    const int bit = f.at_bit.value_or(0), width = bits_of(f);
    if (whole && (bit < 0 || width < 1 || bit + width > static_cast<int>(bytes) * 8)) return bad(f, "bits_outside_field");
    for (const auto& [number, name] : f.bits)
        if (number < 0 || number >= (whole ? width : static_cast<int>(std::min<std::size_t>(bytes * 4, 64)))) return bad(f, "bits_outside_field");
    return {};
}

class Layouter {
public:
    explicit Layouter(std::size_t room) : room_(room) {}

    Status fields(const std::vector<Field>& list, std::size_t lead, std::vector<Part>& parts)
    {
        const std::size_t seen = counters_.size();
        parts.push_back({});
        parts.back().bytes = lead;
        std::size_t cursor = lead;
        for (const Field& f : list)
            if (Status s = field(f, parts, cursor); !s) return s;
        if (parts.size() > 1 && parts.back().slots.empty() && parts.back().kind == Part::Kind::fixed) parts.pop_back();
        counters_.resize(seen);
        return {};
    }

private:
    Status field(const Field& f, std::vector<Part>& parts, std::size_t& cursor)
    {
        if (!f.when && !repeats(f) && !is_free_text(f)) {
            if (f.type == FieldType::group) return bad(f, "group_without_repeat");
            if (Status s = place(f, parts.back(), cursor); !s) return s;
            if (is_unsigned(f.type)) counters_.push_back(&f);
            return {};
        }
        Result<Part> part = f.when ? optional(f) : moving(f);
        if (!part) return Unexpected{part.error()};
        parts.push_back(std::move(*part));
        parts.push_back({});
        cursor = 0;
        return {};
    }

    static Status place(const Field& f, Part& part, std::size_t& cursor)
    {
        if (Status s = check_field(f); !s) return s;
        const std::size_t at = f.at_byte ? static_cast<std::size_t>(*f.at_byte) : cursor;
        part.slots.push_back({&f, at, width_of(f)});
        cursor = at + width_of(f);
        part.bytes = std::max(part.bytes, cursor);
        return {};
    }

    Result<Part> optional(const Field& f)
    {
        Part p;
        p.kind = Part::Kind::optional;
        p.field = &f;
        p.source = counter(f.when->field);
        if (!p.source) return unknown(f, f.when->field);
        if (f.when->is.empty() && !f.when->bit && !f.when->clear) return bad(f, "when_of_nothing");
        if (repeats(f) || is_free_text(f)) {
            Result<Part> inner = moving(f);
            if (!inner) return inner;
            p.body.push_back(std::move(*inner));
        } else if (Status s = content(f, p.body); !s) {
            return Unexpected{s.error()};
        }
        return p;
    }

    Result<Part> moving(const Field& f)
    {
        return repeats(f) ? repeated(f) : text(f);
    }

    Result<Part> repeated(const Field& f)
    {
        Part p;
        p.kind = Part::Kind::repeat;
        p.field = &f;
        if (is_free_text(f)) return bad(f, "repeated_text_without_bytes");
        if (!f.repeat_to_end) {
            p.source = counter(f.repeat_count);
            if (!p.source) return unknown(f, f.repeat_count);
        }
        if (Status s = content(f, p.body); !s) return Unexpected{s.error()};
        const std::size_t least = least_bytes(p.body);
        if (least == 0) return bad(f, "empty_group");
        p.most = std::min<std::size_t>(room_ / least, 60000);
        if (f.repeat_most) p.most = std::min(p.most, static_cast<std::size_t>(*f.repeat_most));
        if (p.source && p.source->range) p.most = std::min(p.most, static_cast<std::size_t>(std::clamp(p.source->range->second, 0.0, 60'000.0)));
        return p;
    }

    Result<Part> text(const Field& f)
    {
        Part p;
        p.kind = Part::Kind::text;
        p.field = &f;
        p.most = f.bytes > 0 ? static_cast<std::size_t>(f.bytes) : room_;
        if (f.length_field.empty()) return p;
        p.source = counter(f.length_field);
        if (!p.source) return unknown(f, f.length_field);
        return p;
    }

    // One group, or one field of its own.
    Status content(const Field& f, std::vector<Part>& parts)
    {
        if (f.type == FieldType::group) return fields(f.fields, 0, parts);
        parts.push_back({});
        std::size_t cursor = 0;
        return place(f, parts.back(), cursor);
    }

    // The nearest one before, in this group or around it.
    const Field* counter(const std::string& name) const
    {
        const auto found = std::find_if(counters_.rbegin(), counters_.rend(), [&](const Field* f) { return f->name == name; });
        return found == counters_.rend() ? nullptr : *found;
    }

    static Unexpected<Problem> unknown(const Field& f, const std::string& source)
    {
        return fail("unknown_count", {}, {{"field", f.name}, {"count", source}});
    }

    std::size_t room_;
    std::vector<const Field*> counters_;
};

} // namespace

std::size_t least_bytes(const std::vector<Part>& parts)
{
    std::size_t n = 0;
    for (const Part& p : parts) {
        if (p.kind == Part::Kind::fixed) n += p.bytes;
        if (p.kind == Part::Kind::text && p.field->ends == "zero") ++n;
    }
    return n;
}

Result<std::vector<Part>> layout(const std::vector<Field>& fields, std::size_t lead, std::size_t max_bytes)
{
    std::vector<Part> parts;
    if (Status s = Layouter(max_bytes).fields(fields, lead, parts); !s) return Unexpected{s.error()};
    if (least_bytes(parts) > max_bytes) return fail("frame_too_long");
    return parts;
}

} // namespace chockside::codec::detail
