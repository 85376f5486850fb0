// links: core_codec core_profile core_framing core_base
// Targets 6 and 9: framers against plain loops, and the whole decoder against the sum of its stages' floors, in one run on one core.
#include <core/base/random.h>
#include <core/codec/decoder.h>
#include <core/codec/encoder.h>
#include <core/framing/framer.h>
#include <core/profile/load.h>

#include <algorithm>
#include <bit>
#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <fstream>
#include <sstream>

using namespace chockside;

namespace {

using Octet = unsigned char;
volatile std::uint64_t sink_of_results;
std::size_t allocations = 0;

[[noreturn]] void stop(const char* why)
{
    std::fprintf(stderr, "decode_bench: %s\n", why);
    std::exit(3);
}

profile::Unit bundled_unit()
{
    std::ifstream file(CHOCKSIDE_SOURCE_DIR "/assets/profiles/pru_2.unit.json");
    std::stringstream text;
    text << file.rdbuf();
    return profile::load_half(text.str(), profile::Half::unit).profile.unit;
}

struct Work {
    Bytes stream;                     ///< escaped, as on the line
    std::vector<Octet> plain;         ///< frames without escapes, one behind another
    std::vector<std::size_t> lengths; ///< of the plain frames
    std::vector<std::uint32_t> words; ///< bit 1 as 2^0
};

// Frames of 14 words, all of them BNR words that the profile names: 60 bytes before the escapes.
Work make_work(const std::shared_ptr<const codec::Plan>& plan, std::size_t frames)
{
    Work w;
    SeededRandom random(9);
    const codec::Encoder encoder(plan);
    const auto& named = plan->unit().words;
    for (std::size_t i = 0; i < frames; ++i) {
        std::vector<std::uint32_t> words;
        for (int k = 0; k < 14; ++k) words.push_back(codec::encode_word(named[random.below(4)], random.uniform(-170, 170)));
        w.words.insert(w.words.end(), words.begin(), words.end());
        const auto bytes = encoder.frame("words", {{"word", words}});
        if (!bytes) stop("encode");
        w.stream.insert(w.stream.end(), bytes->begin(), bytes->end());
    }
    const auto reader = framing::slip_reader(300);
    reader->feed(w.stream, [&](ByteView f) {
        const auto* p = reinterpret_cast<const Octet*>(f.data());
        w.plain.insert(w.plain.end(), p, p + f.size());
        w.lengths.push_back(f.size());
        return true;
    });
    return w;
}

std::size_t slip_floor(const Octet* p, std::size_t n, Octet* out)
{
    const Octet* const e = p + n;
    std::size_t frames = 0;
    while (p < e) {
        const auto* q = static_cast<const Octet*>(std::memchr(p, 0xC0, static_cast<std::size_t>(e - p)));
        if (!q) break;
        Octet* d = out;
        while (p < q) {
            const auto* x = static_cast<const Octet*>(std::memchr(p, 0xDB, static_cast<std::size_t>(q - p)));
            const Octet* r = x ? x : q;
            std::memcpy(d, p, static_cast<std::size_t>(r - p));
            d += r - p;
            p = r;
            if (x) {
                *d++ = p[1] == 0xDC ? 0xC0 : 0xDB;
                p += 2;
            }
        }
        frames += d != out;
        p = q + 1;
    }
    return frames;
}

std::size_t cobs_floor(const Octet* p, std::size_t n, Octet* out)
{
    const Octet* const e = p + n;
    Octet* d = out;
    std::size_t frames = 0;
    while (p < e) {
        const Octet c = *p++;
        if (!c) {
            ++frames;
            d = out;
            continue;
        }
        for (Octet k = 1; k < c; ++k) *d++ = *p++;
        if (c < 255 && *p) *d++ = 0;
    }
    return frames;
}

struct CrcTables {
    std::uint16_t t[8][256];
    CrcTables()
    {
        for (unsigned i = 0; i < 256; ++i) {
            unsigned c = i << 8;
            for (int k = 0; k < 8; ++k) c = (c & 0x8000u) ? c << 1 ^ 0x1021u : c << 1;
            t[0][i] = static_cast<std::uint16_t>(c);
        }
        for (int s = 1; s < 8; ++s)
            for (int i = 0; i < 256; ++i) t[s][i] = static_cast<std::uint16_t>(t[s - 1][i] << 8 ^ t[0][t[s - 1][i] >> 8]);
    }
};

unsigned crc_floor(const CrcTables& c, const Octet* p, std::size_t n)
{
    unsigned v = 0xFFFF;
    for (; n >= 8; n -= 8, p += 8)
        v = static_cast<unsigned>(c.t[7][p[0] ^ v >> 8] ^ c.t[6][p[1] ^ (v & 255)] ^ c.t[5][p[2]] ^ c.t[4][p[3]] ^ c.t[3][p[4]] ^ c.t[2][p[5]] ^ c.t[1][p[6]]
            ^ c.t[0][p[7]]);
    while (n--) v = (v << 8 ^ c.t[0][(v >> 8 ^ *p++) & 255]) & 0xFFFF;
    return v;
}

struct Record {
    double value;
    Octet label, sdi, ssm, ok;
};

std::uint64_t words_floor(const std::vector<std::uint32_t>& words, const double* scale, const Octet* turned, std::vector<Record>& out)
{
    for (std::size_t i = 0; i < words.size(); ++i) {
        const std::uint32_t x = words[i];
        const Octet label = turned[x & 255];
        out[i & 4095] = {static_cast<double>(static_cast<std::int32_t>(x << 3) >> 13) * scale[label], label, static_cast<Octet>(x >> 8 & 3),
            static_cast<Octet>(x >> 29 & 3), static_cast<Octet>(std::popcount(x) & 1)};
    }
    return out[5].label;
}

template <class F>
double seconds(F f)
{
    const auto start = std::chrono::steady_clock::now();
    sink_of_results = sink_of_results + static_cast<std::uint64_t>(f());
    return std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
}

// The fast tenth: what the code takes when nothing else wants the core.
double fast(std::vector<double> v)
{
    const auto at = v.begin() + static_cast<std::ptrdiff_t>(v.size() / 10);
    std::nth_element(v.begin(), at, v.end());
    return *at;
}

Bytes cobs_of(const Work& w)
{
    Bytes out;
    std::size_t at = 0;
    for (std::size_t n : w.lengths) {
        framing::cobs_write(ByteView(reinterpret_cast<const std::byte*>(w.plain.data() + at), n), out);
        at += n;
    }
    return out;
}

} // namespace

[[gnu::noinline]] void* operator new(std::size_t n)
{
    ++allocations;
    if (void* p = std::malloc(n)) return p;
    std::abort();
}
[[gnu::noinline]] void operator delete(void* p) noexcept { std::free(p); }
[[gnu::noinline]] void operator delete(void* p, std::size_t) noexcept { std::free(p); }

int main()
{
    constexpr std::size_t frames = 4000, piece = 65536; // short runs: less of another program's time in each
    constexpr int runs = 401;
    const auto compiled = codec::Plan::compile(bundled_unit());
    if (!compiled) stop("no plan");
    const Work w = make_work(*compiled, frames);
    const Bytes cobs = cobs_of(w);
    const CrcTables tables;
    double scale[256];
    Octet turned[256];
    for (int i = 0; i < 256; ++i) {
        scale[i] = 180.0 / (1 << (12 + i % 7));
        turned[i] = arinc429::mirror_label(static_cast<std::uint8_t>(i));
    }
    std::vector<Record> records(4096);
    std::vector<Octet> out(4096);
    codec::Decoder decoder(*compiled);
    double sum = 0;
    const std::function<void(const codec::FrameView&)> take = [&](const codec::FrameView& f) { sum += f.observations.back().value; };
    const auto slip = framing::slip_reader(300), stuffed = framing::cobs_reader(300);
    const auto in_pieces = [&](const Bytes& b, auto feed) {
        for (std::size_t at = 0; at < b.size(); at += piece) feed(ByteView(b).subspan(at, std::min(piece, b.size() - at)));
    };
    const auto frames_through = [&](framing::Framer& reader, const Bytes& b) {
        std::size_t n = 0;
        in_pieces(b, [&](ByteView part) { reader.feed(part, [&](ByteView f) { return n += f.size() > 0, true; }); });
        return n;
    };
    const auto raw = [](const Bytes& b) { return reinterpret_cast<const Octet*>(b.data()); };

    std::vector<double> t_slip, t_crc, t_words, t_whole, t_slip_ours, t_cobs, t_cobs_ours;
    std::size_t grown = 0;
    for (int i = 0; i < runs + 2; ++i) {
        std::size_t n = 0;
        const double a = seconds([&] { return n = slip_floor(raw(w.stream), w.stream.size(), out.data()); });
        if (n != frames) stop("slip floor");
        const double b = seconds([&] {
            std::uint64_t bad = 0;
            const Octet* p = w.plain.data();
            for (std::size_t length : w.lengths) {
                bad += crc_floor(tables, p, length) != 0; // a frame with its check behind it leaves nothing
                p += length;
            }
            if (bad) stop("crc floor");
            return bad;
        });
        const double c = seconds([&] { return words_floor(w.words, scale, turned, records); });
        const std::size_t before = allocations;
        const double d = seconds([&] { return in_pieces(w.stream, [&](ByteView part) { decoder.feed(part, 0, take); }), 1; });
        if (i >= 2) grown += allocations - before;
        const double e = seconds([&] { return n = frames_through(*slip, w.stream); });
        if (n != frames) stop("slip reader");
        const double f = seconds([&] { return n = cobs_floor(raw(cobs), cobs.size(), out.data()); });
        if (n != frames) stop("cobs floor");
        const double g = seconds([&] { return n = frames_through(*stuffed, cobs); });
        if (n != frames) stop("cobs reader");
        if (i < 2) continue;
        t_slip.push_back(a);
        t_crc.push_back(b);
        t_words.push_back(c);
        t_whole.push_back(d);
        t_slip_ours.push_back(e);
        t_cobs.push_back(f);
        t_cobs_ours.push_back(g);
    }
    if (decoder.counters().frames != frames * (runs + 2)) stop("frames lost");
    const double bytes = static_cast<double>(w.stream.size());
    const double floors = fast(t_slip) + fast(t_crc) + fast(t_words);
    const auto mb = [&](double t) { return bytes / t / 1e6; };
    std::printf("{\"target\":6,\"name\":\"SLIP reader over memchr runs\",\"ratio\":%.3f,\"bound\":0.9,\"method\":\"fast tenth of %d in turns: %.0f over %.0f MB/s, 64 KiB pieces\"}\n",
        fast(t_slip) / fast(t_slip_ours), runs, mb(fast(t_slip_ours)), mb(fast(t_slip)));
    std::printf("{\"target\":6,\"name\":\"COBS reader over a byte loop\",\"ratio\":%.3f,\"bound\":1.0,\"method\":\"fast tenth of %d in turns: %.0f over %.0f MB/s\"}\n",
        fast(t_cobs) / fast(t_cobs_ours), runs, mb(fast(t_cobs_ours)), mb(fast(t_cobs)));
    std::printf("{\"target\":9,\"name\":\"bytes to records over the sum of the stage floors\",\"ratio\":%.3f,\"bound\":0.7,\"method\":\"fast tenth of %d in turns: %.0f over %.0f MB/s "
                "(slip %.0f, crc %.0f, words %.0f); %zu allocations in %d frames\"}\n",
        floors / fast(t_whole), runs, mb(fast(t_whole)), mb(floors), mb(fast(t_slip)), mb(fast(t_crc)), mb(fast(t_words)), grown,
        static_cast<int>(frames) * runs);
    return sum == 0.5;
}
