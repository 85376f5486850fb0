#include <core/codec/detail/decimal_newer.h>

#ifdef CHOCKSIDE_NEWER
#define CHOCKSIDE_SHORT_LINE_NEWER true
#define CHOCKSIDE_TARGET CHOCKSIDE_NEWER
#else
#define CHOCKSIDE_SHORT_LINE_NEWER false
#define CHOCKSIDE_TARGET
#endif
#include <core/codec/detail/short_line.inl>

namespace chockside::codec::detail {

bool read_short_line_newer(Reader& r, ByteView body, const FrameProgram*& f, Reader::Outcome& outcome)
{
    return ShortLine<CHOCKSIDE_SHORT_LINE_NEWER>::read(r, body, f, outcome);
}

} // namespace chockside::codec::detail
