#pragma once
// The seam between the line and everything above it. Thread-confined: every call on the thread that made the channel.

#include <core/base/bytes.h>
#include <core/base/result.h>
#include <core/profile/model.h>

#include <cstdint>
#include <memory>
#include <string>

namespace chockside::link {

struct LineEvent {
    enum class Kind : std::uint8_t { opened, closed, lost, framing_error, parity_error, overrun, break_, info };
    Kind kind = Kind::info;
    std::string detail; ///< a code (port_lost, port_busy...) or the system's own text
};
const char* name_of(LineEvent::Kind);

class ByteSink {
public:
    virtual ~ByteSink() = default;
    virtual void bytes(ByteView bytes, std::int64_t t_ns) = 0;
    virtual void event(const LineEvent& event, std::int64_t t_ns) = 0;
};

/// Whole use of a channel by one user (a file transfer); the channel is free again when this goes.
class Lease {
public:
    virtual ~Lease() = default;
    virtual Result<std::size_t> write(ByteView bytes) = 0;
};

class ByteChannel {
public:
    virtual ~ByteChannel() = default;
    /// Everything of `line` is set before the port opens. Codes: port_not_found, port_no_permission, port_busy, port_setting, port_failed.
    virtual Status open(const profile::Line& line, ByteSink& sink) = 0;
    virtual void close() = 0;
    virtual bool is_open() const = 0;
    /// Codes: port_closed, port_lost, channel_leased.
    virtual Result<std::size_t> write(ByteView bytes) = 0;
    /// Where the port has no such lines this is information, not a failure.
    virtual Status set_lines(bool dtr, bool rts) = 0;
    /// While the lease lives, bytes go to its sink and plain `write` is refused. Code: channel_leased.
    virtual Result<std::unique_ptr<Lease>> lease(ByteSink& sink) = 0;
};

} // namespace chockside::link
