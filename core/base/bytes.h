#pragma once

#include <cstddef>
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace chockside {

using Bytes = std::vector<std::byte>;
using ByteView = std::span<const std::byte>;

ByteView as_bytes(std::string_view text);
Bytes to_bytes(std::string_view text);
std::string to_text(ByteView bytes);

/// Well-formed UTF-8 as RFC 3629 section 4 has it: shortest forms only, no surrogates, nothing beyond U+10FFFF.
bool is_utf8(std::string_view text);

/// Lower-case hexadecimal, two digits a byte.
std::string to_hex(ByteView bytes);
/// The bytes of an even number of hexadecimal digits (either case, no separators), or nothing.
std::optional<Bytes> from_hex(std::string_view text);

/// RFC 4648 section 4, with padding.
std::string to_base64(ByteView bytes);
std::optional<Bytes> from_base64(std::string_view text);

} // namespace chockside
