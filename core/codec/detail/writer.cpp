#include <core/codec/detail/writer.h>

#include <bit>
#include <cmath>

namespace chockside::codec::detail {

using profile::Field;
using profile::FieldType;

namespace {

Unexpected<Problem> refuse(const char* code, const Field& f)
{
    return fail(code, f.name);
}

std::optional<double> bits_by_name(const Field& f, const FieldValues& values)
{
    double raw = 0;
    bool any = false;
    for (const auto& [number, name] : f.bits) {
        const auto found = values.find(name);
        if (found == values.end()) continue;
        const double* v = std::get_if<double>(&found->second.content);
        any = true;
        if (v && *v != 0) raw += std::ldexp(1.0, number);
    }
    return any ? std::optional(raw) : std::nullopt;
}

} // namespace

void Writer::put(const Field& f, std::uint64_t bits, std::size_t bytes, Bytes& out, std::size_t at) const
{
    const bool big = f.order.value_or(unit_.framing.order) == profile::Order::big;
    for (std::size_t i = 0; i < bytes; ++i) {
        const std::size_t place = at + (big ? bytes - 1 - i : i);
        out[place] = out[place] | static_cast<std::byte>(bits >> (8 * i) & 0xFFu); // fields of bits share bytes
    }
}

Status Writer::raw(const Field& f, std::uint64_t value, Bytes& out, std::size_t at) const
{
    const std::size_t bytes = width_of(f);
    const int shift = f.at_bit.value_or(0);
    const int width = f.bit_width.value_or(static_cast<int>(bytes) * 8 - shift);
    if (width < 64 && value >> width) return refuse("value_too_big", f);
    put(f, value << shift, bytes, out, at);
    return {};
}

Status Writer::integer(const Field& f, double value, Bytes& out, std::size_t at) const
{
    const double steps = std::round((value - f.offset) / f.scale);
    const int width = f.bit_width.value_or(static_cast<int>(width_of(f)) * 8 - f.at_bit.value_or(0));
    const double low = is_signed(f.type) ? -std::ldexp(1.0, width - 1) : 0;
    const double high = std::ldexp(1.0, is_signed(f.type) ? width - 1 : width) - 1;
    if (!(steps >= low && steps <= high)) return refuse("value_too_big", f);
    const auto whole = static_cast<std::int64_t>(steps);
    return raw(f, static_cast<std::uint64_t>(whole) & ((std::uint64_t{1} << width) - 1), out, at);
}

Status Writer::text(const Field& f, const std::string& words, Bytes& out, std::size_t at) const
{
    const auto bytes = static_cast<std::size_t>(f.bytes);
    if (words.size() > bytes) return refuse("text_too_long", f);
    const char pad = f.pad.empty() ? '\0' : f.pad.front();
    for (std::size_t i = 0; i < bytes; ++i) out[at + i] = static_cast<std::byte>(i < words.size() ? words[i] : pad);
    return {};
}

void Writer::arinc(const Field& f, std::uint32_t word, Bytes& out, std::size_t at) const
{
    if (f.label_reversed) word = (word & ~0xFFu) | arinc429::mirror_label(static_cast<std::uint8_t>(word & 0xFFu));
    put(f, word, 4, out, at);
}

Result<double> Writer::number(const Field& f, const FieldValue& v) const
{
    if (const double* d = std::get_if<double>(&v.content)) return *d;
    const std::string* name = std::get_if<std::string>(&v.content);
    const auto codes = unit_.enums.find(f.enumeration);
    if (!name || codes == unit_.enums.end()) return refuse("wrong_kind", f);
    for (const auto& [code, says] : codes->second)
        if (says == *name) return static_cast<double>(code);
    return refuse("unknown_value", f);
}

Status Writer::value(const Field& f, const FieldValue& v, Bytes& out, std::size_t at) const
{
    if (f.type == FieldType::text) {
        const std::string* words = std::get_if<std::string>(&v.content);
        return words ? text(f, *words, out, at) : Status(refuse("wrong_kind", f));
    }
    const Result<double> n = number(f, v);
    if (!n) return Unexpected{n.error()};
    if (f.type <= FieldType::i32) return integer(f, *n, out, at);
    const double plain = (*n - f.offset) / f.scale;
    if (f.type == FieldType::f32) put(f, std::bit_cast<std::uint32_t>(static_cast<float>(plain)), 4, out, at);
    if (f.type == FieldType::f64) put(f, std::bit_cast<std::uint64_t>(plain), 8, out, at);
    if (f.type == FieldType::arinc429) arinc(f, static_cast<std::uint32_t>(*n), out, at);
    if (f.type != FieldType::bcd) return {};
    double rest = std::round(plain);
    if (!(rest >= 0) || rest >= std::pow(10.0, f.digits)) return refuse("value_too_big", f);
    std::uint64_t packed = 0;
    for (int i = 0; i < f.digits; ++i, rest = std::floor(rest / 10)) packed |= static_cast<std::uint64_t>(std::fmod(rest, 10)) << (4 * i);
    put(f, packed, width_of(f), out, at);
    return {};
}

Status Writer::field(const Field& f, const FieldValues& values, Bytes& out, std::size_t at) const
{
    if (f.constant) return raw(f, *f.constant, out, at);
    const auto found = values.find(f.name);
    if (found != values.end()) return value(f, found->second, out, at);
    if (const auto bits = bits_by_name(f, values)) return integer(f, *bits, out, at);
    return refuse("missing_value", f);
}

} // namespace chockside::codec::detail
