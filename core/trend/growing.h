#pragma once
// Captures that are still being written, into a Trend: what is new in a segment is taken each time it is looked at.

#include <core/trend/rebuild.h>

#include <optional>
#include <string>

namespace chockside::trend {

class Growing {
public:
    Growing(Trend& trend, std::shared_ptr<const codec::Plan> plan) : trend_(trend), plan_(std::move(plan)) {}

    /// A segment's bytes from its beginning, which must begin as they did the last time; segments in their order, "STEM-0001". Another stem
    /// is another opening of the port: what its frames' beginnings were is forgotten, as it is on the line. True: something was new.
    /// Codes: capture_not_recognised, block_length, section_byte_order, packet_length, those of Trend. What came before stays.
    Result<bool> take(const std::string& segment, ByteView bytes);

private:
    Trend& trend_;
    std::shared_ptr<const codec::Plan> plan_;
    std::string segment_;
    std::optional<Feeder> feeder_;
    std::optional<capture::Reader> reader_;
    std::size_t taken_ = 0;
};

} // namespace chockside::trend
