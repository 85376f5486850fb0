#define CHOCKSIDE_SHORT_LINE_NEWER false
#define CHOCKSIDE_TARGET
#include <core/codec/detail/short_line.inl>

namespace chockside::codec::detail {

bool read_short_line(Reader& r, ByteView body, const FrameProgram*& f, Reader::Outcome& outcome)
{
    return ShortLine<false>::read(r, body, f, outcome);
}

} // namespace chockside::codec::detail
