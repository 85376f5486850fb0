#include <core/base/json.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <cstdlib>

namespace chockside::json {

namespace {

/// UTF-16 code units, as RFC 8785 section 3.2.3 sorts member names. Input is valid UTF-8 (the reader saw to it).
std::u16string utf16(std::string_view text)
{
    std::u16string units;
    for (std::size_t i = 0; i < text.size();) {
        const auto lead = static_cast<unsigned char>(text[i]);
        const int extra = lead < 0x80 ? 0 : lead < 0xE0 ? 1 : lead < 0xF0 ? 2 : 3;
        char32_t point = extra == 0 ? lead : extra == 1 ? lead & 0x1Fu : extra == 2 ? lead & 0x0Fu : lead & 0x07u;
        for (int k = 1; k <= extra && i + static_cast<std::size_t>(k) < text.size(); ++k) point = point << 6 | (static_cast<unsigned char>(text[i + static_cast<std::size_t>(k)]) & 0x3Fu);
        i += static_cast<std::size_t>(extra) + 1;
        if (point < 0x10000) units += static_cast<char16_t>(point);
        else {
            units += static_cast<char16_t>(0xD800 + ((point - 0x10000) >> 10));
            units += static_cast<char16_t>(0xDC00 + ((point - 0x10000) & 0x3FF));
        }
    }
    return units;
}

bool ascii(std::string_view text)
{
    return std::all_of(text.begin(), text.end(), [](char c) { return static_cast<unsigned char>(c) < 0x80; });
}

constexpr std::string_view replacement = "\xEF\xBF\xBD"; // U+FFFD

bool plain(char c, bool utf8)
{
    const auto u = static_cast<unsigned char>(c);
    return u >= 0x20 && c != '"' && c != '\\' && (u < 0x80 || utf8);
}

void write_escaped(char c, std::string& out)
{
    constexpr char digits[] = "0123456789abcdef";
    const auto u = static_cast<unsigned char>(c);
    switch (c) {
    case '"': out += "\\\""; break;
    case '\\': out += "\\\\"; break;
    case '\b': out += "\\b"; break;
    case '\f': out += "\\f"; break;
    case '\n': out += "\\n"; break;
    case '\r': out += "\\r"; break;
    case '\t': out += "\\t"; break;
    default:
        if (u >= 0x80) out += replacement;
        else ((out += "\\u00") += digits[u >> 4]) += digits[u & 15];
    }
}

void write_text(std::string_view text, bool utf8, std::string& out)
{
    out += '"';
    for (std::size_t at = 0; at < text.size(); ++at) {
        std::size_t end = at;
        while (end < text.size() && plain(text[end], utf8)) ++end;
        out.append(text, at, end - at);
        if (end < text.size()) write_escaped(text[end], out);
        at = end;
    }
    out += '"';
}

struct Writer {
    std::string out;
    bool finite = true;
    bool utf8 = true;
    bool pretty = false;

    void text(std::string_view t)
    {
        const bool good = is_utf8(t);
        utf8 = utf8 && good;
        write_text(t, good, out);
    }

    void newline(int depth)
    {
        if (!pretty) return;
        out += '\n';
        out.append(static_cast<std::size_t>(depth) * 2, ' ');
    }

    void object(const Object& members, int depth)
    {
        if (members.empty()) {
            out += "{}";
            return;
        }
        std::vector<const Object::value_type*> sorted;
        for (const auto& member : members) sorted.push_back(&member);
        const bool plain = std::all_of(sorted.begin(), sorted.end(), [](const auto* m) { return ascii(m->first); });
        if (!plain) std::sort(sorted.begin(), sorted.end(), [](const auto* a, const auto* b) { return utf16(a->first) < utf16(b->first); });
        char separator = '{';
        for (const auto* member : sorted) {
            out += separator;
            separator = ',';
            newline(depth + 1);
            text(member->first);
            out += pretty ? ": " : ":";
            value(member->second, depth + 1);
        }
        newline(depth);
        out += '}';
    }

    void array(const Array& items, int depth)
    {
        if (items.empty()) {
            out += "[]";
            return;
        }
        char separator = '[';
        for (const Value& item : items) {
            out += separator;
            separator = ',';
            newline(depth + 1);
            value(item, depth + 1);
        }
        newline(depth);
        out += ']';
    }

    void value(const Value& v, int depth)
    {
        switch (v.kind()) {
        case Kind::null: out += "null"; break;
        case Kind::boolean: out += v.as_bool() ? "true" : "false"; break;
        case Kind::integer: number(v.as_int()); break;
        case Kind::real:
            if (std::isfinite(v.as_double())) out += number_text(v.as_double());
            else finite = false;
            break;
        case Kind::text: text(v.as_text()); break;
        case Kind::array: array(v.as_array(), depth); break;
        case Kind::object: object(v.as_object(), depth); break;
        }
    }

    void number(std::int64_t v)
    {
        constexpr std::int64_t safe = (std::int64_t{1} << 53) - 1;
        // Beyond 2^53 an I-JSON number is a double: the canonical text is the double's.
        out += v >= -safe && v <= safe ? std::to_string(v) : number_text(static_cast<double>(v));
    }
};

} // namespace

// ECMA-262 section 6.1.6.1.20: n digits s with value s * 10^(k-n), placed by the size of the exponent.
std::string number_text(double value)
{
    if (value == 0) return "0";
    char buffer[40];
    const auto end = std::to_chars(buffer, buffer + sizeof buffer, std::abs(value), std::chars_format::scientific);
    const std::string_view text(buffer, static_cast<std::size_t>(end.ptr - buffer));
    const auto e = text.find('e');
    std::string digits(text.substr(0, e));
    std::erase(digits, '.');
    int exponent = 0;
    const std::string_view after = text.substr(e + 1);
    std::from_chars(after.data() + (after[0] == '+' ? 1 : 0), after.data() + after.size(), exponent);
    const int n = exponent + 1, k = static_cast<int>(digits.size());
    const std::string sign = value < 0 ? "-" : "";
    if (k <= n && n <= 21) return sign + digits + std::string(static_cast<std::size_t>(n - k), '0');
    if (0 < n && n <= 21) return sign + digits.substr(0, static_cast<std::size_t>(n)) + "." + digits.substr(static_cast<std::size_t>(n));
    if (-6 < n && n <= 0) return sign + "0." + std::string(static_cast<std::size_t>(-n), '0') + digits;
    const std::string tail = std::string(n - 1 < 0 ? "e-" : "e+") + std::to_string(std::abs(n - 1));
    return sign + digits.substr(0, 1) + (k > 1 ? "." + digits.substr(1) : "") + tail;
}

Result<std::string> canonical(const Value& value)
{
    Writer writer;
    writer.value(value, 0);
    if (!writer.finite) return fail("json_number");
    if (!writer.utf8) return fail("json_not_utf8");
    return std::move(writer.out);
}

std::string write(const Value& value)
{
    Writer writer;
    writer.value(value, 0);
    if (!writer.finite) std::abort();
    return std::move(writer.out);
}

std::string write_pretty(const Value& value)
{
    Writer writer;
    writer.pretty = true;
    writer.value(value, 0);
    return writer.out + "\n";
}

} // namespace chockside::json
