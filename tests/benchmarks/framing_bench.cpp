// links: core_framing core_base
// Target 5: CRC-16 over frames of 64 bytes against slice-by-8 of 16-bit tables and against Boost.CRC, in one run on one core.
#include "bench.h"

#include <core/base/random.h>
#include <core/framing/crc.h>

#include <boost/crc.hpp>

#include <cstdlib>

using namespace chockside;

namespace {

constexpr std::size_t frame = 64, frames = 16384;

struct Tables {
    std::uint16_t t[8][256];
    Tables()
    {
        for (unsigned i = 0; i < 256; ++i) {
            unsigned c = i << 8;
            for (int k = 0; k < 8; ++k) c = c & 0x8000u ? c << 1 ^ 0x1021u : c << 1;
            t[0][i] = static_cast<std::uint16_t>(c);
        }
        for (int s = 1; s < 8; ++s)
            for (int i = 0; i < 256; ++i) t[s][i] = static_cast<std::uint16_t>(t[s - 1][i] << 8 ^ t[0][t[s - 1][i] >> 8]);
    }
};

unsigned slice_by_8(const Tables& c, const unsigned char* p, std::size_t n)
{
    unsigned v = 0xFFFF;
    for (; n >= 8; n -= 8, p += 8)
        v = static_cast<unsigned>(c.t[7][p[0] ^ v >> 8] ^ c.t[6][p[1] ^ (v & 255)] ^ c.t[5][p[2]] ^ c.t[4][p[3]] ^ c.t[3][p[4]] ^ c.t[2][p[5]] ^ c.t[1][p[6]]
            ^ c.t[0][p[7]]);
    return v;
}

unsigned by_boost(const unsigned char* p, std::size_t n)
{
    boost::crc_optimal<16, 0x1021, 0xFFFF, 0, false, false> c;
    c.process_bytes(p, n);
    return c.checksum();
}

} // namespace

int main()
{
    Bytes data(frame * frames);
    SeededRandom random(5);
    random.fill(data);
    const auto* raw = reinterpret_cast<const unsigned char*>(data.data());
    const Tables tables;
    const framing::Crc crc(*framing::crc_by_name("CRC-16/IBM-3740"));
    const auto all = [&](auto one) {
        return [&, one] {
            std::uint64_t sum = 0;
            for (std::size_t i = 0; i < frames; ++i) sum += one(i * frame);
            bench::keep(sum);
            return sum;
        };
    };
    const auto ours = all([&](std::size_t at) { return crc.of(ByteView(data).subspan(at, frame)); });
    const auto floor = all([&](std::size_t at) { return slice_by_8(tables, raw + at, frame); });
    const auto boost = all([&](std::size_t at) { return by_boost(raw + at, frame); });
    if (ours() != floor() || ours() != boost()) return 3;
    bench::print_line(5, "CRC-16 over slice-by-8, 64-byte frames", bench::ratio_ab(floor, ours, 4), 0.95, "median of 31 turns, 1 MiB each");
    bench::print_line(5, "CRC-16 over Boost.CRC, 64-byte frames", bench::ratio_ab(boost, ours, 1), 9, "crc_optimal; median of 31 turns, 1 MiB each");
}
