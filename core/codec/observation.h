#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <unordered_map>
#include <utility>
#include <vector>

namespace chockside::codec {

using SignalId = std::uint16_t;

enum class Validity : std::uint8_t {
    good,
    failure_warning,
    no_computed_data,
    functional_test,
    out_of_range, ///< decoded, but outside the range that the profile states
    invalid_code, ///< a code that the profile calls invalid, an unlisted enumeration code, a BCD digit above 9 (then the value is NaN)
};
const char* name_of(Validity);

/// A row of the signal table. Names: "frame.field", "frame.field.bit", "frame.group.field", "word.name", "word.name.bit".
struct Signal {
    std::string name;
    std::string unit;
    std::string quantity;
    bool wraps = false;  ///< an angle: the value lies in [0, one turn)
    int period_ms = 0;   ///< 0: sent on request only
    bool boolean = false;
};

/// One value read off the wire. `raw`: the bits before scaling (an ARINC word whole, bit 1 as 2^0). `t_ns`: as given to the decoder.
struct Observation {
    std::int64_t t_ns = 0;
    std::uint64_t raw = 0;
    double value = 0;
    std::uint32_t frame_no = 0;
    SignalId signal = 0;
    Validity validity = Validity::good;
    bool operator==(const Observation&) const = default;
};

class SignalTable {
public:
    const std::vector<Signal>& all() const { return rows_; }
    std::optional<SignalId> id(std::string_view name) const;
    const Signal& operator[](SignalId id) const { return rows_[id]; }
    SignalId add(Signal row); ///< the name must be new

private:
    std::vector<Signal> rows_;
    std::unordered_map<std::string, SignalId> ids_;
};

/// One decoded frame: its observations in wire order (repeated groups repeat their signals), text fields apart under their full name.
/// Valid during the call that delivers it.
struct FrameView {
    std::string_view name;
    std::uint32_t frame_no; ///< counts every frame that the framer delivered since the decoder was made, good or not; the first is 1
    std::int64_t t_ns;
    std::span<const Observation> observations;
    const std::vector<std::pair<std::string, std::string>>& texts;
};

struct Counters {
    std::uint64_t bytes = 0, frames = 0;
    std::uint64_t bad_checksum = 0;
    std::uint64_t too_long = 0;    ///< longer than the framing allows, or than its fields
    std::uint64_t short_frame = 0; ///< ends before its fields do
    std::uint64_t unknown_id = 0;
    std::uint64_t parity_errors = 0; ///< ARINC words left out
    std::uint64_t out_of_range = 0;
    std::uint64_t resync = 0;        ///< bad escapes, and bytes outside any frame
    std::uint64_t bad_text = 0;      ///< lines with an ARINC word that is no eight hexadecimal digits
    std::uint64_t unknown_words = 0; ///< ARINC words whose label the profile does not name; left out
    bool operator==(const Counters&) const = default;
};

} // namespace chockside::codec
