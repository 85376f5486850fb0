#pragma once

#include <core/codec/line.h>
#include <core/codec/observation.h>

#include <bit>
#include <cstdint>
#include <optional>
#include <string>

namespace chockside::trend {

using SeriesId = codec::SignalId;

/// What is kept of an observation, and comes back bit for bit.
struct Sample {
    std::int64_t t_ns = 0;
    std::uint64_t raw = 0;
    double value = 0;
    codec::Validity validity = codec::Validity::good;
    bool good() const { return validity == codec::Validity::good && value == value; }
    /// A NaN equals itself here: bits are compared.
    bool operator==(const Sample& o) const
    {
        return t_ns == o.t_ns && raw == o.raw && validity == o.validity && std::bit_cast<std::uint64_t>(value) == std::bit_cast<std::uint64_t>(o.value);
    }
};

/// One signal's history. `line`: a guess at how values follow from raw bits; where a sample does not follow it, values are kept whole.
struct Series {
    std::string name, unit;
    int period_ms = 0; ///< 0: sent on request only
    bool boolean = false;
    std::optional<codec::Line> line;
};

} // namespace chockside::trend
