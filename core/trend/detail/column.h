#pragma once
// Columns of 64-bit numbers as planes of bytes: differences, their common factor taken out, then the bytes of equal weight together.
// What reads is given what an attacker may have written: every length is checked.

#include <core/base/bytes.h>

#include <cstdint>
#include <span>
#include <vector>

namespace chockside::trend::detail {

using Whole = std::vector<std::uint64_t>;

/// At most this many numbers in a column.
inline constexpr std::size_t longest_column = 1u << 16;

/// Appends the column; the shortest of: differences above the least, differences of differences, changed bits. Words that all have odd
/// parity in 32 bits lose the parity bit.
void put_column(std::span<const std::uint64_t> numbers, Bytes& out);
/// Reads n numbers from the front of `in` and takes them off it; false where the bytes cannot be such a column.
bool take_column(ByteView& in, std::size_t n, Whole& numbers);

void put_u64(std::uint64_t v, std::size_t bytes, Bytes& out);            ///< little-endian
bool take_u64(ByteView& in, std::size_t bytes, std::uint64_t& v);

/// zstd level 1, the plain length before it (4, little-endian).
Bytes pack(ByteView plain);
/// False where it does not unpack to the length it says, or says more than `most`.
bool unpack(ByteView packed, std::size_t most, Bytes& plain);
std::uint32_t crc32(ByteView bytes); ///< CRC-32/ISO-HDLC

} // namespace chockside::trend::detail
