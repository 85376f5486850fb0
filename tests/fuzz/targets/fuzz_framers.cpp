// First byte: which framer; second: how the rest is cut. Any cut gives the same frames and the same counters.
#include "pieces.h"

#include <core/framing/framer.h>

#include <memory>
#include <vector>

using namespace chockside;
using namespace chockside::fuzz;

namespace {

std::unique_ptr<framing::Framer> make(unsigned which)
{
    const Bytes sync{std::byte{0xAA}, std::byte{0x55}};
    switch (which % 8) {
    case 0: return framing::slip_reader(40);
    case 1: return framing::cobs_reader(300);
    case 2: return framing::line_reader(40, '$');
    case 3: return framing::line_reader(40, 0, '\r');
    case 4: return framing::sync_reader(64, {sync, 0, 2, 1, true, 4});
    case 5: return framing::sync_reader(64, {{}, 0, 0, 4, false, 4});
    case 6: return framing::sync_reader(64, {sync, 9, 0, 1, true, 0});
    default: return framing::gap_reader(64, 1000);
    }
}

struct Result {
    std::vector<Bytes> frames;
    framing::Drops drops;
    bool operator==(const Result&) const = default;
};

// Frames with an odd last byte are refused, so that searching again is tried as well.
bool keep(Result& r, ByteView f)
{
    r.frames.emplace_back(f.begin(), f.end());
    return (std::to_integer<unsigned>(f.back()) & 1u) == 0;
}

} // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size)
{
    if (size < 2) return 0;
    Result whole, parts;
    const ByteView bytes = view(data + 2, size - 2);
    const auto a = make(data[0]), b = make(data[0]);
    a->feed(bytes, [&](ByteView f) { return keep(whole, f); });
    in_pieces(bytes, data[1], [&](ByteView piece) { b->feed(piece, [&](ByteView f) { return keep(parts, f); }); });
    if (data[0] % 8 == 7) {
        a->quiet(5000, [&](ByteView f) { return keep(whole, f); });
        b->quiet(5000, [&](ByteView f) { return keep(parts, f); });
    }
    whole.drops = a->drops();
    parts.drops = b->drops();
    must(whole == parts);
    return 0;
}
