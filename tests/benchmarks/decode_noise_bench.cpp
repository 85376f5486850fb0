// links: core_codec core_profile core_framing core_base
// Target 11: a stream split anywhere and damaged gives the same observations, and one damaged byte in a hundred costs little; in one run.
#include "bundled_unit.h"
#include "bench.h"

#include <core/base/random.h>
#include <core/codec/decoder.h>
#include <core/codec/encoder.h>
#include <core/profile/load.h>

#include <cstdlib>
#include <fstream>
#include <sstream>

using namespace chockside;

namespace {

Bytes stream_of(const std::shared_ptr<const codec::Plan>& p, SeededRandom& random)
{
    Bytes out;
    const codec::Encoder encoder(p);
    for (int i = 0; i < 4000; ++i) {
        std::vector<std::uint32_t> words;
        for (int k = 0; k < 14; ++k) words.push_back(codec::encode_word(p->unit().words[random.below(4)], random.uniform(-170, 170)));
        const auto bytes = encoder.frame("words", {{"word", words}});
        out.insert(out.end(), bytes->begin(), bytes->end());
    }
    return out;
}

std::uint64_t digest(const std::shared_ptr<const codec::Plan>& p, ByteView bytes, SeededRandom* split)
{
    codec::Decoder decoder(p);
    std::uint64_t h = 14695981039346656037u;
    for (std::size_t at = 0, n = 0; at < bytes.size(); at += n) {
        n = split ? std::min<std::size_t>(1 + split->below(300), bytes.size() - at) : bytes.size();
        decoder.feed(bytes.subspan(at, n), 0, [&](const codec::FrameView& f) {
            for (const auto& o : f.observations) h = (h ^ o.raw ^ std::uint64_t{o.signal} << 40) * 1099511628211u;
        });
    }
    return h ^ decoder.counters().bad_checksum << 32 ^ decoder.counters().resync;
}

} // namespace

int main()
{
    const auto p = bench::bundled_plan();
    SeededRandom random(11);
    const Bytes clean = stream_of(p, random);
    Bytes damaged = clean;
    for (std::byte& b : damaged)
        if (random.below(100) == 0) b ^= static_cast<std::byte>(1 + random.below(255));
    for (const Bytes* b : {&clean, static_cast<const Bytes*>(&damaged)})
        for (int i = 0; i < 5; ++i)
            if (digest(p, *b, &random) != digest(p, *b, nullptr)) return 3;
    codec::Decoder decoder(p);
    double sum = 0;
    const std::function<void(const codec::FrameView&)> take = [&](const codec::FrameView& f) { sum += f.observations.back().value; };
    const auto one = [&](const Bytes& b) { return [&] { decoder.feed(b, 0, take); }; };
    bench::print_line(11, "1 % damaged bytes over clean, bytes a second", bench::ratio_ab(one(clean), one(damaged), 2), 0.8,
        "4000 SLIP frames of 14 words; same observations in 5 random splits each; median of 31 turns");
    return sum == 0.5;
}
