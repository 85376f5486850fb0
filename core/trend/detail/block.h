#pragma once
// A block: up to 4096 samples of one series in the order they came, its summary, and what lies between the two, the pyramid: least,
// greatest, first and last in spans of the clock that are the same for every block, so that blocks merge without a rest.

#include <core/base/bytes.h>
#include <core/trend/sample.h>

#include <span>
#include <vector>

namespace chockside::trend::detail {

inline constexpr std::size_t block_samples = 4096;

/// Spans of level k are 8^k milliseconds long, counted from 1970.
inline constexpr int levels = 14;
inline constexpr std::int64_t span_ns(int level) { return std::int64_t{1'000'000} << 3 * level; }
/// Rounds down, before 1970 too.
inline constexpr std::int64_t floor_div(std::int64_t a, std::int64_t b) { return a / b - (a % b < 0 ? 1 : 0); }

/// Wraps where no clock shows such times.
inline constexpr std::int64_t between(std::int64_t from, std::int64_t to) { return static_cast<std::int64_t>(static_cast<std::uint64_t>(to) - static_cast<std::uint64_t>(from)); }

/// Extremes of the good samples of a span; times and order as they came. The earlier of equals stands.
struct Extent {
    std::uint64_t count = 0, bad = 0;
    double min = 0, max = 0, first = 0, last = 0;
    bool any_good() const { return count > bad; }
    void add(const Sample&);
    void add(const Extent& later);
    bool operator==(const Extent&) const = default;
};

struct Span {
    std::int64_t number = 0; ///< floor(t / span)
    Extent extent;
    bool operator==(const Span&) const = default;
};
/// Samples by spans of a level, a new one wherever the number changes.
void add_to_spans(std::vector<Span>& spans, const Sample&, int level);
/// Spans of a level from those of a finer one.
std::vector<Span> coarser(std::span<const Span> spans, int from, int to);

struct Head {
    Extent all;
    std::int64_t first_t = 0, last_t = 0; ///< as they came
    std::int64_t min_t = 0, max_t = 0;
    std::int64_t longest = 0;   ///< between neighbours inside, ns
    std::int8_t level = -1;     ///< finest of the pyramid beside the samples; -1: none that pays
    std::int8_t top = -1;       ///< coarsest
    bool operator==(const Head&) const = default;
};
Head head_of(std::span<const Sample>);

struct Encoded {
    Head summary;
    struct Level {
        int level = 0;
        Bytes bytes;
    };
    Bytes head, data; ///< each with its checksum behind it; the block's place in the store is part of it
    std::vector<Level> pyramid; ///< from Head::level up, each eight times coarser, as long as a level has eight spans
};
Encoded encode(std::uint64_t id, std::span<const Sample>, const std::optional<codec::Line>&);

/// Each gives false, and nothing that could be taken for a value, where the bytes are not as they were written for this id.
bool decode_head(std::uint64_t id, ByteView, Head&);
bool decode_pyramid(std::uint64_t id, int level, ByteView, std::vector<Span>&);
bool decode_data(std::uint64_t id, ByteView, std::vector<Sample>&);

} // namespace chockside::trend::detail
