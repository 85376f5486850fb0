// links: core_codec core_profile core_framing core_base
// Target 10: frames a second against tshark on the same payloads. tshark reads Ethernet, IP and UDP around them and prints them, which is
// more; we find the frames in a stream, check them and read their fields.
#include "bundled_unit.h"
#include "bench.h"

#include <core/base/random.h>
#include <core/codec/decoder.h>
#include <core/codec/encoder.h>
#include <core/profile/load.h>

#include <cstdlib>
#include <sys/resource.h>
#include <fstream>
#include <sstream>
#include <string>

using namespace chockside;

namespace {

constexpr std::size_t frames = 100000;

template <class T>
void put(std::string& out, T v, bool big)
{
    for (std::size_t i = 0; i < sizeof v; ++i) out.push_back(static_cast<char>(v >> 8 * (big ? sizeof v - 1 - i : i)));
}

// Classic pcap, Ethernet, IPv4, UDP.
void add_packet(std::string& out, std::size_t number, ByteView payload)
{
    std::string p("\2\0\0\0\0\1\2\0\0\0\0\2\x08\0", 14);
    put(p, std::uint32_t(0x45000000u | (28 + payload.size())), true);
    put(p, std::uint32_t((number & 0xFFFF) << 16), true);
    put(p, std::uint32_t(0x40110000), true);
    put(p, std::uint32_t(0x7F000001), true);
    put(p, std::uint32_t(0x7F000001), true);
    put(p, std::uint32_t(40000u << 16 | 40001u), true);
    put(p, std::uint32_t((8 + payload.size()) << 16), true);
    p.append(reinterpret_cast<const char*>(payload.data()), payload.size());
    for (std::uint32_t v : {std::uint32_t(number / 1000), std::uint32_t(number % 1000 * 1000), std::uint32_t(p.size()), std::uint32_t(p.size())}) put(out, v, false);
    out += p;
}

std::string pcap_head()
{
    std::string out;
    for (std::uint32_t v : {0xA1B2C3D4u, 0x00040002u, 0u, 0u, 65535u, 1u}) put(out, v, false);
    return out;
}

/// Of this process, or of the children that it has waited for: user and system.
double processor_seconds(int whose)
{
    rusage used{};
    ::getrusage(whose, &used);
    return double(used.ru_utime.tv_sec + used.ru_stime.tv_sec) + 1e-6 * double(used.ru_utime.tv_usec + used.ru_stime.tv_usec);
}

double cost(int whose, const auto& work)
{
    const double from = processor_seconds(whose);
    work();
    return processor_seconds(whose) - from;
}

/// tshark over a capture that stays for as long as this does.
class Peer {
public:
    Peer(const std::string& content, std::string file) : file_(std::move(file)), command_("tshark -r " + file_ + " -T fields -e udp.payload > /dev/null 2>&1") { std::ofstream(file_, std::ios::binary) << content; }
    ~Peer() { std::remove(file_.c_str()); }
    double seconds() const
    {
        return cost(RUSAGE_CHILDREN, [&] {
            if (std::system(command_.c_str()) != 0) std::exit(3);
        });
    }

private:
    std::string file_, command_;
};

double median(std::vector<double> v)
{
    std::sort(v.begin(), v.end());
    return v[v.size() / 2];
}

} // namespace

int main()
{
    const auto p = bench::bundled_plan();
    SeededRandom random(10);
    const codec::Encoder encoder(p);
    Bytes stream;
    std::string all = pcap_head(), one;
    for (std::size_t i = 0; i < frames; ++i) {
        std::vector<std::uint32_t> words;
        for (int k = 0; k < 14; ++k) words.push_back(codec::encode_word(p->unit().words[random.below(4)], random.uniform(-170, 170)));
        const auto bytes = encoder.frame("words", {{"word", words}});
        stream.insert(stream.end(), bytes->begin(), bytes->end());
        add_packet(all, i, *bytes);
        if (i == 0) one = all;
    }
    codec::Decoder decoder(p);
    double sum = 0;
    const std::function<void(const codec::FrameView&)> take = [&](const codec::FrameView& f) { sum += f.observations.back().value; };
    auto ours = [&] {
        for (std::size_t at = 0; at < stream.size(); at += 65536) decoder.feed(ByteView(stream).subspan(at, std::min<std::size_t>(65536, stream.size() - at)), 0, take);
    };
    ours();
    if (decoder.counters().frames != frames) return 3;
    auto several = [&] {
        for (int i = 0; i < 10; ++i) ours();
    };
    // Processor time on both sides: what else a shared machine does is no part of it. In turns, so that a slower minute is in both.
    const Peer one_frame(one, "tshark_one.pcap"), whole(all, "tshark_all.pcap");
    std::vector<double> ratios, mine, theirs;
    for (int turn = 0; turn < 7; ++turn) {
        mine.push_back(cost(RUSAGE_SELF, several) / 10);
        theirs.push_back(whole.seconds() - one_frame.seconds());
        mine.back() = (mine.back() + cost(RUSAGE_SELF, several) / 10) / 2;
        ratios.push_back(theirs.back() / mine.back());
    }
    char method[240];
    std::snprintf(method, sizeof method, "%zu frames of 14 words: %.2f M/s against %.3f M/s, the start of tshark taken off; processor time, median of 7 turns (%.0f-%.0f)", frames, double(frames) / median(mine) / 1e6,
        double(frames) / median(theirs) / 1e6, *std::min_element(ratios.begin(), ratios.end()), *std::max_element(ratios.begin(), ratios.end()));
    bench::print_line(10, "frames a second over tshark", median(ratios), 150, method);
    return sum == 0.5;
}
