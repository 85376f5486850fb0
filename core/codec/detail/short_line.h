#pragma once

#include <core/codec/detail/reader.h>

namespace chockside::codec::detail {

/// The usual text line, below 64 bytes and without groups and conditions, read in one go; false, with `f` as found so far: it must be read in
/// the way of any line. The reader knows the frame that `body` lies in. Both are compiled from short_line.inl, the second for newer processors.
bool read_short_line(Reader&, ByteView body, const FrameProgram*& f, Reader::Outcome&);
bool read_short_line_newer(Reader&, ByteView body, const FrameProgram*& f, Reader::Outcome&);

} // namespace chockside::codec::detail
