#pragma once
// Captures into a Trend, in bounded memory.

#include <core/capture/stream.h>
#include <core/codec/decoder.h>
#include <core/trend/trend.h>

namespace chockside::trend {

/// Decodes what was received into a Trend: the one way for a live line, a replay and a rebuild.
class Feeder {
public:
    Feeder(Trend& trend, std::shared_ptr<const codec::Plan> plan) : trend_(trend), decoder_(std::move(plan)) {}
    Status received(ByteView bytes, std::int64_t t_ns);
    /// As capture::Packet: other directions than received give nothing, as in `decode`.
    Status packet(const capture::Packet& p) { return p.direction == capture::Direction::sent ? Status() : received(p.bytes, p.t_ns); }
    const codec::Counters& counters() const { return decoder_.counters(); }

private:
    Trend& trend_;
    codec::Decoder decoder_;
};

struct Rebuilt {
    std::uint64_t packets = 0, bytes = 0; ///< bytes of the files
    std::uint64_t cut_tails = 0;          ///< files with bytes behind their last whole block
    std::vector<std::string> damage;      ///< of each file where reading stopped early, its code
    codec::Counters counters;
    bool stopped = false;                 ///< `go_on` said so
};

/// Takes the sources in order, one line in pieces (a capture's segments), then syncs. `go_on` (may be empty) is asked every 64 Ki packets.
/// Codes: capture_not_recognised, capture_empty, those of the sources and of Trend.
Result<Rebuilt> rebuild(std::span<const capture::Source> sources, std::shared_ptr<const codec::Plan> plan, Trend& trend, const std::function<bool(const Rebuilt&)>& go_on = {});

} // namespace chockside::trend
