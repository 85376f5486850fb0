#include <core/codec/detail/writer.h>

#include <algorithm>
#include <bit>
#include <charconv>
#include <cmath>

namespace chockside::codec::detail {

using profile::Field;
using profile::FieldType;
using profile::Sign;

namespace {

Unexpected<Problem> refuse(const char* code, const Field& f)
{
    return fail(code, f.name);
}

std::string fixed_text(double v, int decimals)
{
    char buffer[400];
    const auto end = std::to_chars(buffer, buffer + sizeof buffer, v, std::chars_format::fixed, decimals);
    return {buffer, end.ptr};
}

std::string hex_text(std::uint64_t v, std::size_t digits)
{
    std::string out;
    for (std::size_t i = 0; i < digits || (digits == 0 && (v >> (4 * i) != 0 || i == 0)); ++i) {
        out.insert(out.begin(), "0123456789ABCDEF"[v >> (4 * i) & 0xFu]);
        if (i == 15) break;
    }
    return out;
}

} // namespace

std::optional<double> Writer::by_bits(const Field& f, const FieldValues& values)
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

const FieldValue* Scope::find(const std::string& name) const
{
    for (const Scope* s = this; s; s = s->outer)
        if (const auto found = s->values->find(name); found != s->values->end()) return &found->second;
    return nullptr;
}

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
    const int width = bits_of(f);
    if (width < 64 && value >> width) return refuse("value_too_big", f);
    put(f, value << f.at_bit.value_or(0), width_of(f), out, at);
    return {};
}

// A value as the bits that stand for it.
Result<std::uint64_t> Writer::code(const Field& f, double value) const
{
    const Scaling s = scaling_of(f);
    const double steps = std::round((value - s.offset) / s.factor);
    const int width = bits_of(f);
    const bool sized = f.sign == Sign::magnitude;
    const double half = std::ldexp(1.0, width - 1);
    const double low = sized ? 1 - half : is_signed(f) ? -half : 0;
    const double high = is_signed(f) ? half : std::ldexp(1.0, width);
    if (!(steps >= low && steps < high)) return refuse("value_too_big", f);
    if (sized) return static_cast<std::uint64_t>(std::fabs(steps)) | (std::signbit(steps) && steps != 0 ? std::uint64_t{1} << (width - 1) : 0);
    const std::uint64_t mask = ~std::uint64_t{0} >> (64 - width);
    return (steps < 0 ? static_cast<std::uint64_t>(static_cast<std::int64_t>(steps)) : static_cast<std::uint64_t>(steps)) & mask;
}

Status Writer::integer(const Field& f, double value, Bytes& out, std::size_t at) const
{
    const Result<std::uint64_t> bits = code(f, value);
    return bits ? raw(f, *bits, out, at) : Status(Unexpected{bits.error()});
}

Status Writer::text(const Field& f, const std::string& words, Bytes& out, std::size_t at) const
{
    const auto bytes = static_cast<std::size_t>(f.bytes);
    if (words.size() > bytes) return refuse("text_too_long", f);
    const char pad = f.pad.empty() ? '\0' : f.pad.front();
    for (std::size_t i = 0; i < bytes; ++i) out[at + i] = static_cast<std::byte>(i < words.size() ? words[i] : pad);
    return {};
}

// Numbers of fixed width stand at the right, zeros in front of them, or what `pad` says.
Status Writer::written(const Field& f, std::string text, Bytes& out, std::size_t at) const
{
    const auto bytes = static_cast<std::size_t>(f.bytes);
    if (text.size() > bytes) return refuse("text_too_long", f);
    const char pad = f.pad.empty() ? '0' : f.pad.front();
    const std::size_t sign = pad == '0' && text.starts_with('-') ? 1 : 0;
    text.insert(sign, bytes - text.size(), pad);
    for (std::size_t i = 0; i < bytes; ++i) out[at + i] = static_cast<std::byte>(text[i]);
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

Status Writer::bcd(const Field& f, double plain, Bytes& out, std::size_t at) const
{
    double rest = std::round(std::fabs(plain));
    const bool minus = plain < 0 && rest != 0;
    if (!(rest < std::pow(10.0, f.digits)) || (minus && f.sign == Sign::by_type)) return refuse("value_too_big", f);
    std::uint64_t packed = 0;
    for (int i = 0; i < f.digits; ++i, rest = std::floor(rest / 10)) packed |= static_cast<std::uint64_t>(std::fmod(rest, 10)) << (4 * i);
    const std::uint64_t top = std::uint64_t{1} << (8 * width_of(f) - 1);
    if (f.sign == Sign::nibble) packed = packed << 4 | (minus ? 0xDu : 0xCu);
    if (f.sign == Sign::magnitude && packed & top) return refuse("value_too_big", f);
    if (f.sign == Sign::magnitude && minus) packed |= top;
    put(f, packed, width_of(f), out, at);
    return {};
}

Status Writer::value(const Field& f, const FieldValue& v, Bytes& out, std::size_t at) const
{
    if (f.type == FieldType::text) {
        const std::string* words = std::get_if<std::string>(&v.content);
        return words ? text(f, *words, out, at) : Status(refuse("wrong_kind", f));
    }
    if (f.type == FieldType::number_text || f.type == FieldType::hex_text || f.type == FieldType::letter) {
        const Result<std::string> t = token(f, v);
        if (!t) return Unexpected{t.error()};
        if (f.type != FieldType::letter) return written(f, *t, out, at);
        out[at] = static_cast<std::byte>(t->front());
        return {};
    }
    const Result<double> n = number(f, v);
    if (!n) return Unexpected{n.error()};
    if (is_whole(f.type)) return integer(f, *n, out, at);
    const double plain = (*n - f.offset) / f.scale;
    if (f.type == FieldType::bcd) return bcd(f, plain, out, at);
    if (f.type == FieldType::f32) put(f, std::bit_cast<std::uint32_t>(static_cast<float>(plain)), 4, out, at);
    if (f.type == FieldType::f64) put(f, std::bit_cast<std::uint64_t>(plain), 8, out, at);
    if (f.type == FieldType::arinc429) arinc(f, static_cast<std::uint32_t>(*n), out, at);
    return {};
}

Status Writer::field(const Field& f, const FieldValues& values, Bytes& out, std::size_t at) const
{
    if (f.constant) return is_whole(f.type) ? raw(f, *f.constant, out, at) : value(f, static_cast<double>(*f.constant), out, at);
    const auto found = values.find(f.name);
    if (found != values.end()) return value(f, found->second, out, at);
    if (const auto bits = by_bits(f, values)) return integer(f, *bits, out, at);
    return refuse("missing_value", f);
}

Result<bool> Writer::holds(const profile::When& when, const Field& source, const Scope& scope) const
{
    std::uint64_t bits = 0;
    if (source.constant) {
        bits = *source.constant;
    } else if (const FieldValue* v = scope.find(source.name)) {
        const Result<double> n = number(source, *v);
        if (!n) return Unexpected{n.error()};
        const Result<std::uint64_t> c = is_whole(source.type) ? code(source, *n) : Result<std::uint64_t>(static_cast<std::uint64_t>(*n));
        if (!c) return Unexpected{c.error()};
        bits = *c;
    } else {
        std::optional<double> named;
        for (const Scope* s = &scope; s && !named; s = s->outer) named = by_bits(source, *s->values);
        if (!named) return refuse("missing_value", source);
        bits = static_cast<std::uint64_t>(*named);
    }
    if (when.bit) return (bits >> *when.bit & 1u) != 0;
    if (when.clear) return (bits >> *when.clear & 1u) == 0;
    return std::find(when.is.begin(), when.is.end(), bits) != when.is.end();
}

Result<std::string> Writer::token(const Field& f, std::uint64_t constant) const
{
    if (f.type == FieldType::letter) return std::string(1, static_cast<char>(constant));
    if (f.type == FieldType::arinc429) return hex_text(constant, 8);
    if (f.type == FieldType::hex_text) return hex_text(constant, static_cast<std::size_t>(std::max(f.bytes, f.digits)));
    return std::to_string(constant);
}

Result<std::string> Writer::token(const Field& f, const FieldValue& v) const
{
    const std::string* words = std::get_if<std::string>(&v.content);
    if (f.type == FieldType::letter && words && words->size() == 1 && f.enumeration.empty()) return *words;
    const Result<double> n = number(f, v);
    if (!n) return Unexpected{n.error()};
    if (!std::isfinite(*n)) return std::string(); // no value: an empty token
    if (f.type == FieldType::arinc429) {
        auto word = static_cast<std::uint32_t>(*n);
        if (f.label_reversed) word = (word & ~0xFFu) | arinc429::mirror_label(static_cast<std::uint8_t>(word & 0xFFu));
        return hex_text(word, 8);
    }
    const Scaling s = scaling_of(f);
    const double plain = (*n - s.offset) / s.factor;
    if (f.type == FieldType::number_text || f.type == FieldType::f32 || f.type == FieldType::f64) return fixed_text(plain, f.digits);
    const double whole = std::round(plain);
    if (f.type == FieldType::hex_text || f.type == FieldType::letter) {
        const double end = f.type == FieldType::letter ? 256 : std::ldexp(1.0, f.bytes > 0 ? std::min(64, 4 * f.bytes) : 64);
        if (!(whole >= 0 && whole < end)) return refuse("value_too_big", f);
        return token(f, static_cast<std::uint64_t>(whole));
    }
    const double half = std::ldexp(1.0, static_cast<int>(width_of(f)) * 8 - 1);
    if (!(whole < (is_signed(f) ? half : 2 * half) && whole >= (is_signed(f) ? -half : 0))) return refuse("value_too_big", f);
    return fixed_text(whole, 0);
}

} // namespace chockside::codec::detail
