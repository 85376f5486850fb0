#include <core/base/bytes.h>

#include <algorithm>
#include <array>

namespace chockside {

namespace {

int digit(char c)
{
    if (c >= '0' && c <= '9') return c - '0';
    if (c >= 'a' && c <= 'f') return c - 'a' + 10;
    if (c >= 'A' && c <= 'F') return c - 'A' + 10;
    return -1;
}

bool continues(std::string_view text, std::size_t from, std::size_t count)
{
    if (from + count > text.size()) return false;
    for (std::size_t i = from; i < from + count; ++i)
        if ((static_cast<unsigned char>(text[i]) & 0xC0) != 0x80) return false;
    return true;
}

/// Bytes of the well-formed sequence at `at`, 0 where there is none.
std::size_t sequence(std::string_view text, std::size_t at)
{
    const auto lead = static_cast<unsigned char>(text[at]);
    if (lead < 0x80) return 1;
    const auto second = at + 1 < text.size() ? static_cast<unsigned char>(text[at + 1]) : 0u;
    if (lead >= 0xC2 && lead <= 0xDF) return continues(text, at + 1, 1) ? 2 : 0;
    if (lead >= 0xE0 && lead <= 0xEF) {
        const bool bad = (lead == 0xE0 && second < 0xA0) || (lead == 0xED && second > 0x9F);
        return !bad && continues(text, at + 1, 2) ? 3 : 0;
    }
    if (lead >= 0xF0 && lead <= 0xF4) {
        const bool bad = (lead == 0xF0 && second < 0x90) || (lead == 0xF4 && second > 0x8F);
        return !bad && continues(text, at + 1, 3) ? 4 : 0;
    }
    return 0;
}

constexpr std::string_view alphabet = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";

constexpr unsigned char not_base64 = 0xff;

constexpr std::array<unsigned char, 256> base64_values = [] {
    std::array<unsigned char, 256> values{};
    values.fill(not_base64);
    for (std::size_t i = 0; i < alphabet.size(); ++i) values[static_cast<unsigned char>(alphabet[i])] = static_cast<unsigned char>(i);
    return values;
}();

} // namespace

ByteView as_bytes(std::string_view text)
{
    return {reinterpret_cast<const std::byte*>(text.data()), text.size()};
}

Bytes to_bytes(std::string_view text)
{
    const ByteView view = as_bytes(text);
    return {view.begin(), view.end()};
}

std::string to_text(ByteView bytes)
{
    return {reinterpret_cast<const char*>(bytes.data()), bytes.size()};
}

bool is_utf8(std::string_view text)
{
    for (std::size_t at = 0; at < text.size();) {
        const std::size_t length = sequence(text, at);
        if (length == 0) return false;
        at += length;
    }
    return true;
}

std::string to_hex(ByteView bytes)
{
    constexpr char digits[] = "0123456789abcdef";
    std::string text(bytes.size() * 2, '0');
    char* at = text.data();
    for (const std::byte b : bytes) {
        *at++ = digits[std::to_integer<unsigned>(b) >> 4];
        *at++ = digits[std::to_integer<unsigned>(b) & 15];
    }
    return text;
}

std::optional<Bytes> from_hex(std::string_view text)
{
    if (text.size() % 2) return std::nullopt;
    Bytes bytes(text.size() / 2);
    for (std::size_t i = 0; i < bytes.size(); ++i) {
        const int high = digit(text[2 * i]), low = digit(text[2 * i + 1]);
        if (high < 0 || low < 0) return std::nullopt;
        bytes[i] = static_cast<std::byte>(high * 16 + low);
    }
    return bytes;
}

std::string to_base64(ByteView bytes)
{
    std::string text;
    text.reserve((bytes.size() + 2) / 3 * 4);
    for (std::size_t i = 0; i < bytes.size(); i += 3) {
        std::uint32_t group = 0;
        const std::size_t n = std::min<std::size_t>(3, bytes.size() - i);
        for (std::size_t k = 0; k < 3; ++k) group = group << 8 | (k < n ? std::to_integer<std::uint32_t>(bytes[i + k]) : 0u);
        for (std::size_t k = 0; k < 4; ++k) text += k <= n ? alphabet[group >> (18 - 6 * k) & 63] : '=';
    }
    return text;
}

std::optional<Bytes> from_base64(std::string_view text)
{
    if (text.size() % 4) return std::nullopt;
    Bytes bytes;
    bytes.reserve(text.size() / 4 * 3);
    for (std::size_t i = 0; i < text.size(); i += 4) {
        std::uint32_t group = 0;
        int pads = 0;
        for (std::size_t k = 0; k < 4; ++k) {
            const char c = text[i + k];
            const unsigned value = base64_values[static_cast<unsigned char>(c)];
            const bool pad = c == '=' && i + 4 == text.size() && k >= 2;
            if ((value == not_base64 && !pad) || (pads && !pad)) return std::nullopt;
            pads += pad ? 1 : 0;
            group = group << 6 | (pad ? 0u : value);
        }
        if (pads && (group & ((1u << (8 * pads)) - 1u))) return std::nullopt; // bits that no encoder leaves (RFC 4648, 3.5)
        for (int k = 0; k < 3 - pads; ++k) bytes.push_back(static_cast<std::byte>(group >> (16 - 8 * k) & 255));
    }
    return bytes;
}

} // namespace chockside
