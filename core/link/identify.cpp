#include <core/link/identify.h>

#include <core/framing/crc.h>
#include <core/framing/framer.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <memory>
#include <set>

namespace chockside::link {

namespace {

constexpr std::size_t most_frame = 4096;
constexpr double least_bits = 16;

/// One way of checking a frame; `bits`: how much a single pass by chance costs.
struct Check {
    std::string name;
    bool big = true;
    double bits = 8;
    std::function<bool(ByteView)> passes;
};

bool crc_passes(const framing::Crc& crc, ByteView frame, bool big)
{
    const auto n = static_cast<std::size_t>(crc.bytes());
    if (frame.size() <= n) return false;
    std::uint64_t sent = 0;
    for (std::size_t i = 0; i < n; ++i) {
        const std::size_t at = frame.size() - n + (big ? i : n - 1 - i);
        sent = sent << 8 | std::to_integer<std::uint64_t>(frame[at]);
    }
    return crc.of(frame.first(frame.size() - n)) == sent;
}

bool byte_passes(ByteView frame, std::uint32_t (*sum)(ByteView))
{
    return frame.size() > 1 && (sum(frame.first(frame.size() - 1)) & 0xFFu) == std::to_integer<std::uint32_t>(frame.back());
}

std::vector<Check> binary_checks()
{
    std::vector<Check> all;
    for (const std::string& name : framing::crc_names()) {
        const auto parameters = framing::crc_by_name(name);
        if (!parameters || parameters->width % 8 != 0 || parameters->width > 32) continue; // what serial frames carry
        const auto crc = std::make_shared<framing::Crc>(*parameters);
        for (const bool big : {true, false}) {
            if (crc->bytes() == 1 && !big) continue;
            all.push_back({name, big, static_cast<double>(parameters->width), [crc, big](ByteView f) { return crc_passes(*crc, f, big); }});
        }
    }
    all.push_back({"xor8", true, 8, [](ByteView f) { return byte_passes(f, [](ByteView b) { return std::uint32_t{framing::xor_of(b)}; }); }});
    all.push_back({"sum8", true, 8, [](ByteView f) { return byte_passes(f, framing::sum_of); }});
    return all;
}

int hex_digit(std::byte b)
{
    const char c = static_cast<char>(b);
    if (c >= '0' && c <= '9') return c - '0';
    if (c >= 'A' && c <= 'F') return c - 'A' + 10;
    return c >= 'a' && c <= 'f' ? c - 'a' + 10 : -1;
}

/// "$TEXT*HH", HH the exclusive-or of TEXT, as NMEA 0183 has it.
bool line_passes(ByteView line)
{
    if (line.size() < 5 || line[line.size() - 3] != std::byte{'*'}) return false;
    const int high = hex_digit(line[line.size() - 2]), low = hex_digit(line.back());
    return high >= 0 && low >= 0 && framing::xor_of(line.subspan(1, line.size() - 4)) == high * 16 + low;
}

struct Stream {
    std::string framing;
    std::vector<Bytes> frames;
    std::size_t distinct = 0;
};

Stream take_apart(const std::string& name, std::unique_ptr<framing::Framer> framer, ByteView bytes)
{
    Stream s{name, {}, 0};
    framer->feed(bytes, [&](ByteView frame) {
        s.frames.emplace_back(frame.begin(), frame.end());
        return true;
    });
    if (!s.frames.empty()) s.frames.erase(s.frames.begin()); // the first may have begun before the listening
    return s;
}

/// Repeats of one frame are one piece of evidence.
double beyond_chance(const Stream& s, const Check& check, double tried, std::uint64_t& valid)
{
    std::set<Bytes> different;
    for (const Bytes& frame : s.frames)
        if (check.passes(frame)) {
            ++valid;
            different.insert(frame);
        }
    return static_cast<double>(different.size()) * check.bits - std::log2(tried);
}

double readable_share(ByteView bytes)
{
    const auto good = [](std::byte b) { const auto c = std::to_integer<int>(b); return (c >= 32 && c < 127) || c == '\r' || c == '\n' || c == '\t'; };
    return bytes.empty() ? 0 : static_cast<double>(std::count_if(bytes.begin(), bytes.end(), good)) / static_cast<double>(bytes.size());
}

void try_sample(const RateSample& sample, const std::vector<Check>& checks, double tried, std::vector<StreamGuess>& out)
{
    const auto consider = [&](const Stream& s, const Check& check) {
        StreamGuess g{sample.rate, s.framing, check.name, check.big, s.frames.size(), 0, 0};
        if (s.frames.size() < 3) return;
        g.bits_beyond_chance = beyond_chance(s, check, tried, g.valid);
        if (g.bits_beyond_chance >= least_bits && 2 * g.valid >= g.frames) out.push_back(g);
    };
    const Stream slip = take_apart("slip", framing::slip_reader(most_frame), sample.bytes);
    const Stream cobs = take_apart("cobs", framing::cobs_reader(most_frame), sample.bytes);
    const Stream lines = take_apart("lines", framing::line_reader(most_frame, 0), sample.bytes);
    for (const Check& check : checks) {
        consider(slip, check);
        consider(cobs, check);
    }
    const std::size_t before = out.size();
    consider(lines, {"xor8", true, 8, line_passes});
    if (out.size() == before && lines.frames.size() >= 3 && readable_share(sample.bytes) > 0.98)
        out.push_back({sample.rate, "lines", "none", true, lines.frames.size(), 0, 0});
}

} // namespace

std::vector<StreamGuess> identify(const std::vector<RateSample>& samples)
{
    const auto checks = binary_checks();
    const double tried = static_cast<double>(2 * checks.size() + 1) * static_cast<double>(std::max<std::size_t>(1, samples.size()));
    std::vector<StreamGuess> out;
    for (const RateSample& sample : samples) try_sample(sample, checks, tried, out);
    std::stable_sort(out.begin(), out.end(), [](const StreamGuess& a, const StreamGuess& b) { return a.bits_beyond_chance > b.bits_beyond_chance; });
    return out;
}

} // namespace chockside::link
