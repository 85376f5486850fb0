#pragma once
// What stands in a frame before its head, check and escapes are added: one way for bytes, one for text lines.

#include <core/codec/detail/program.h>
#include <core/codec/detail/writer.h>

namespace chockside::codec::detail {

/// How often a field's value repeats; 1 for what is no list.
std::size_t repetitions(const FieldValue&);
/// Adds the counting fields that the caller left out. Code: count_mismatch.
Status add_counts(const std::vector<profile::Field>&, FieldValues&);

/// A frame from its first byte; sync, length and selector are still 0. Codes as Encoder::frame says.
Result<Bytes> body(const Program&, const std::vector<profile::Field>&, const FieldValues&);
/// A text line from its start character to its last token. Codes as Encoder::frame says.
Result<Bytes> sentence(const Program&, const std::string& id, const std::vector<profile::Field>&, const FieldValues&);

} // namespace chockside::codec::detail
