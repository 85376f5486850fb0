#pragma once
// From a stream of bytes to frames. Readers accept the stream in any pieces, keep what is unfinished, and say why they dropped what.

#include <core/base/bytes.h>
#include <core/framing/sums.h>

#include <cstdint>
#include <memory>
#include <string_view>
#include <type_traits>

namespace chockside::framing {

/// A borrowed callable `bool(ByteView frame)`; the frame is valid during the call only. It answers whether the frame was accepted:
/// readers that search for a sync pattern look again inside a refused frame, the others ignore the answer.
class FrameSink {
public:
    template <class F>
        requires(!std::is_same_v<std::remove_cvref_t<F>, FrameSink>)
    FrameSink(F&& f)
        : object_(const_cast<void*>(static_cast<const void*>(&f))),
          call_([](void* object, ByteView frame) -> bool { return (*static_cast<std::remove_reference_t<F>*>(object))(frame); })
    {
    }
    bool operator()(ByteView frame) const { return call_(object_, frame); }

private:
    void* object_;
    bool (*call_)(void*, ByteView);
};

struct Drops {
    std::uint64_t too_long = 0;    ///< frames longer than allowed
    std::uint64_t bad_escape = 0;  ///< SLIP: escape before a byte that needs none, or before END; COBS: a block longer than its frame
    std::uint64_t noise_bytes = 0; ///< bytes outside any frame
    bool operator==(const Drops&) const = default;
};

class Framer {
public:
    virtual ~Framer() = default;
    virtual void feed(ByteView chunk, FrameSink sink) = 0;
    /// The line was silent for this long before what comes next; only frames that end by silence care.
    virtual void quiet(std::int64_t, FrameSink) {}
    /// Forgets an unfinished frame; the counters stay.
    virtual void reset() = 0;
    const Drops& drops() const { return drops_; }

protected:
    Drops drops_;
};

/// RFC 1055. END ends a frame, empty ones are skipped. `most`: longest decoded frame in bytes.
std::unique_ptr<Framer> slip_reader(std::size_t most);
/// Consistent Overhead Byte Stuffing (Cheshire and Baker, IEEE/ACM Trans. Networking 7(2), 1999), delimiter 0.
std::unique_ptr<Framer> cobs_reader(std::size_t most);
/// Text lines ended by `end`; the frame is the line without it and without CR and LF around it. Empty lines are skipped.
/// `start`: bytes before the last such character of a line are noise (0: none is asked for, the whole line is the frame).
std::unique_ptr<Framer> line_reader(std::size_t most, char start, char end = '\n');
/// Frames that silence ends: quiet() for at least `gap_ns`.
std::unique_ptr<Framer> gap_reader(std::size_t most, std::int64_t gap_ns);

struct SyncShape {
    Bytes sync;                   ///< part of the frame; empty: a frame may start anywhere, and its length and check alone tell
    std::size_t fixed_bytes = 0;  ///< whole frame; 0: the frame carries its length
    std::size_t length_at = 0;    ///< offset of the length field from the first sync byte
    int length_bytes = 1;         ///< 1 to 4
    bool length_big = true;
    int length_adds = 0;          ///< whole frame = length field + this
};
/// Frames that start with a pattern and have a fixed or a carried length.
std::unique_ptr<Framer> sync_reader(std::size_t most, SyncShape shape);

/// Appends the frame with its escapes and one END behind it; `flush` puts one END in front too, which ends line noise (RFC 1055).
void slip_write(ByteView frame, Bytes& out, bool flush = true);
/// Appends the stuffed frame and the delimiter.
void cobs_write(ByteView frame, Bytes& out);
/// Appends the text and its end.
void line_write(ByteView text, Bytes& out, std::string_view end = "\r\n");

} // namespace chockside::framing
