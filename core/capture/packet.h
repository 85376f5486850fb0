#pragma once
// What a capture holds. The file is pcapng with LINKTYPE_RTAC_SERIAL (250), so ordinary network analysers open it.

#include <core/base/bytes.h>

#include <cstdint>
#include <string>

namespace chockside::capture {

enum class Direction : std::uint8_t { none, received, sent };

/// Event numbers of LINKTYPE_RTAC_SERIAL, one byte in each packet's header.
enum class Event : std::uint8_t {
    status_change = 0x00,
    sent_start = 0x01,
    received_start = 0x02,
    sent_end = 0x03,
    received_end = 0x04,
    data_lost = 0x05,
    complete = 0x06,
    framing_error = 0x07,
    parity_error = 0x08,
    line_break = 0x09,
    overflow = 0x0A,
};
const char* name_of(Event);

/// Line states of the header's second byte.
struct Lines {
    static constexpr std::uint8_t cts = 0x01, dcd = 0x02, dsr = 0x04, rts = 0x08, dtr = 0x10, ring = 0x20;
};

struct Packet {
    std::int64_t t_ns = 0; ///< UTC, nanoseconds since 1970
    Direction direction = Direction::none;
    Event event = Event::status_change;
    std::uint8_t lines = 0;
    Bytes bytes;
    std::string comment; ///< a mark or a remark; several are joined by line feeds
    bool operator==(const Packet&) const = default;
};

} // namespace chockside::capture
