#pragma once
// A capture of the bundled unit with ARINC words as it would come off the line: status and word frames, angles that wander, some bad
// words, one silence, marks, requests that were sent. The pieces that the line delivers are no whole frames.

#include <core/base/random.h>
#include <core/capture/writer.h>
#include <core/codec/encoder.h>
#include <core/profile/load.h>

#include <cmath>
#include <cstdlib>
#include <fstream>
#include <functional>
#include <sstream>

namespace chockside::tests {

inline std::shared_ptr<const codec::Plan> word_unit_plan()
{
    std::ifstream file(CHOCKSIDE_SOURCE_DIR "/assets/profiles/pru_2.unit.json");
    std::stringstream text;
    text << file.rdbuf();
    const auto made = codec::Plan::compile(profile::load_half(text.str(), profile::Half::unit).profile.unit);
    if (!made) std::abort();
    return *made;
}

class CaptureMaker {
public:
    static constexpr std::int64_t t0_ns = 1'781'706'460'000'000'000;

    explicit CaptureMaker(std::uint64_t seed) : plan_(word_unit_plan()), encoder_(plan_), random_(seed)
    {
        for (const profile::Word& w : plan_->unit().words)
            if (w.name == "heading" || w.name == "pitch" || w.name == "roll" || w.name == "heading_raw") words_.push_back(&w);
    }

    const std::shared_ptr<const codec::Plan>& plan() const { return plan_; }

    /// Packets of n word frames, `repeats` readings of each word in a frame; every silent_every-th frame is followed by 4 s of silence.
    void packets(int n, int repeats, const std::function<void(const capture::Packet&)>& sink, int silent_every = 0)
    {
        Bytes line;
        for (int i = 0; i < n; ++i, t_ns_ += 40'000'000) {
            if (silent_every != 0 && frames_ % silent_every == silent_every - 1) t_ns_ += 4'000'000'000;
            append(line, "words", {{"word", frame_words(repeats)}});
            if (frames_++ % 5 == 0) append(line, "status", {{"uptime", static_cast<double>(frames_) * 0.04}, {"supply", random_.uniform(26, 29)}, {"pins", static_cast<double>(random_.below(64))}});
            if (frames_ % 97 == 0) sink({t_ns_, capture::Direction::sent, capture::Event::sent_start, 0, to_bytes("?"), "mark"});
            // A piece ends anywhere; its rest comes with the next.
            const std::size_t cut = line.size() - random_.below(20);
            sink({t_ns_ + static_cast<std::int64_t>(random_.below(900)) * 1000, capture::Direction::received, capture::Event::received_end, 0, Bytes(line.begin(), line.begin() + static_cast<std::ptrdiff_t>(cut)), {}});
            line.erase(line.begin(), line.begin() + static_cast<std::ptrdiff_t>(cut));
        }
    }

private:
    void append(Bytes& line, const char* frame, const codec::FieldValues& values)
    {
        const auto bytes = encoder_.frame(frame, values);
        if (!bytes) std::abort();
        line.insert(line.end(), bytes->begin(), bytes->end());
    }

    std::vector<std::uint32_t> frame_words(int repeats)
    {
        std::vector<std::uint32_t> out;
        for (int r = 0; r < repeats; ++r)
            for (std::size_t i = 0; i < words_.size(); ++i) {
                angle_[i] += random_.uniform(-0.05, 0.05);
                const bool bad = random_.below(4000) == 0;
                out.push_back(codec::encode_word(*words_[i], words_[i]->wraps ? angle_[i] - 360 * std::floor(angle_[i] / 360) : 40 * std::sin(angle_[i] / 40),
                    bad ? arinc429::Ssm::no_computed_data : arinc429::Ssm::normal));
            }
        return out;
    }

    std::shared_ptr<const codec::Plan> plan_;
    codec::Encoder encoder_;
    SeededRandom random_;
    std::vector<const profile::Word*> words_;
    double angle_[4] = {358, 12, -3, 179};
    std::int64_t t_ns_ = t0_ns;
    int frames_ = 0;
};

/// A whole file of such packets in memory.
inline Bytes capture_file(std::uint64_t seed, int n, int repeats, int silent_every = 0)
{
    Bytes out;
    capture::write_section({"ttyS0", "115200 8N1", 115200, "made by a test"}, out);
    CaptureMaker maker(seed);
    maker.packets(n, repeats, [&](const capture::Packet& p) { capture::write_packet(p, out); }, silent_every);
    return out;
}

} // namespace chockside::tests
