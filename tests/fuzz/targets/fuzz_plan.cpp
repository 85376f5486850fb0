// First byte: which unit; second: how the rest is cut. Whatever comes, a decoder stays within its bound, and any cut gives the same.
#include "pieces.h"

#include <core/codec/decoder.h>
#include <core/profile/load.h>

#include <bit>
#include <string>
#include <vector>

using namespace chockside;
using namespace chockside::fuzz;

namespace {

// No checks, or weak ones: nothing shall keep odd frames from the fields.
const char* const framings[] = {
    R"("kind": "slip", "max_bytes": 200, "select": {"type": "u8"})",
    R"("kind": "cobs", "max_bytes": 200, "order": "little", "select": {"type": "u8"}, "checksum": {"sum": "xor8"})",
    R"("kind": "length_prefixed", "max_bytes": 200, "sync": "aa", "length_at": 1, "length_adds": 2, "select": {"type": "u8"})",
    R"("kind": "gap", "max_bytes": 200, "gap_ms": 1, "select": {"type": "u8"}, "tail": "03")",
    R"("kind": "lines", "max_bytes": 200, "start": "$", "select": {"type": "text"})"};

const char* const binary = R"(
  "1": {"id": "1", "fields": [{"name": "n", "type": "u8"}, {"name": "g", "repeat": {"count": "n"}, "fields": [{"name": "m", "type": "u8"},
        {"name": "h", "repeat": {"count": "m"}, "fields": [{"name": "v", "type": "i24", "sign": "magnitude"}, {"name": "t", "type": "text", "ends": "zero"}]}]}]},
  "2": {"id": "2", "fields": [{"name": "k", "type": "u16"}, {"name": "l", "type": "u8"}, {"name": "t", "type": "text", "length": "l"},
        {"name": "o", "type": "f64", "when": {"field": "k", "bit": 3}}, {"name": "p", "when": {"field": "k", "is": [1, 2]}, "fields": [{"name": "q", "type": "u64"}]},
        {"name": "w", "type": "arinc429", "repeat": {"to": "end"}}]},
  "3": {"id": "3", "fields": [{"name": "b", "type": "bcd", "digits": 7, "sign": "nibble"}, {"name": "c", "type": "bcd", "digits": 16},
        {"name": "d", "type": "number_text", "bytes": 9, "digits": 2}, {"name": "e", "type": "hex_text", "bytes": 16}, {"name": "f", "type": "letter"},
        {"name": "u", "type": "u64", "full_scale": 4}, {"name": "i", "type": "i64"}, {"name": "s", "type": "f32", "range": [0, 1]}, {"name": "r", "type": "text", "ends": "frame"}]})";
const char* const lines = R"(
  "1": {"id": "A", "fields": [{"name": "n", "type": "u8"}, {"name": "g", "repeat": {"count": "n"}, "fields": [{"name": "v", "type": "i16"}, {"name": "t", "type": "text"}]},
        {"name": "k", "type": "hex_text"}, {"name": "o", "type": "number_text", "when": {"field": "k", "bit": 1}}, {"name": "w", "type": "arinc429", "repeat": {"to": "end"}}]},
  "2": {"id": "B", "fields": [{"name": "a", "type": "letter", "enum": {"0x41": "ok"}}, {"name": "d", "type": "u64"}, {"name": "e", "type": "i64"}, {"name": "f", "type": "f64"}]})";

std::shared_ptr<const codec::Plan> make(std::size_t which)
{
    const std::string text = std::string(R"({"id": "u", "kind": "other", "channels": ["c"], "timings": {"self_test_s": [0, 1], "warm_up_s": 0},
      "line": {"rate": 9600}, "framing": {)") + framings[which] + R"(}, "frames": {)" + (which == 4 ? lines : binary) + R"(},
      "words": {"h": {"label": "320", "bnr": {"msb": 28, "lsb": 14, "full_scale": 180}, "wraps": true}, "b": {"label": "161", "bcd": {"digits": 5, "scale": 1}},
        "d": {"label": "270", "bits": {"11": "x", "29": "y"}}}})";
    const auto out = profile::load_half(text, profile::Half::unit);
    must(out.usable());
    const auto plan = codec::Plan::compile(out.profile.unit);
    must(plan.has_value());
    return *plan;
}

using Seen = std::vector<std::uint64_t>;

Seen decoded(const std::shared_ptr<const codec::Plan>& plan, ByteView bytes, unsigned seed, codec::Counters& counters)
{
    codec::Decoder decoder(plan);
    Seen seen;
    const std::function<void(const codec::FrameView&)> sink = [&](const codec::FrameView& f) {
        must(f.observations.size() <= plan->worst_observations());
        for (const auto& o : f.observations) seen.insert(seen.end(), {o.signal, o.raw, std::bit_cast<std::uint64_t>(o.value), std::uint64_t(o.validity)});
        for (const auto& [name, text] : f.texts) seen.push_back(std::hash<std::string>()(name + text));
    };
    if (seed == 0) decoder.feed(bytes, 0, sink);
    else in_pieces(bytes, seed, [&](ByteView piece) { decoder.feed(piece, 0, sink); });
    decoder.quiet(1'000'000'000, sink);
    counters = decoder.counters();
    return seen;
}

} // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size)
{
    static const std::vector<std::shared_ptr<const codec::Plan>> plans{make(0), make(1), make(2), make(3), make(4)};
    if (size < 2) return 0;
    const auto& plan = plans[data[0] % plans.size()];
    codec::Counters whole, parts;
    const ByteView bytes = view(data + 2, size - 2);
    must(decoded(plan, bytes, 0, whole) == decoded(plan, bytes, data[1] + 1u, parts));
    must(whole == parts);
    return 0;
}
