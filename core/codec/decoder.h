#pragma once

#include <core/base/bytes.h>
#include <core/base/processor.h>
#include <core/codec/plan.h>

#include <functional>

namespace chockside::codec {

/// Bytes in, observations out. Bytes may come in any pieces; the pieces never change the result (but the times), unless silence ends frames.
/// No allocation per frame once the longest frame has been seen. One thread at a time.
class Decoder {
public:
    /// `newer`: by code that only a newer_processor() runs; the result is the same.
    explicit Decoder(std::shared_ptr<const Plan>, bool newer = newer_processor());
    ~Decoder();
    Decoder(Decoder&&) noexcept;
    Decoder& operator=(Decoder&&) noexcept;

    /// `t_ns`: when the bytes arrived. The sink must not feed this decoder.
    void feed(ByteView bytes, std::int64_t t_ns, const std::function<void(const FrameView&)>& sink);
    /// Nothing came until now: where silence ends frames, this ends the last one.
    void quiet(std::int64_t t_ns, const std::function<void(const FrameView&)>& sink);
    const Counters& counters() const;
    /// Forgets an unfinished frame (the line was closed); counters stay.
    void reset();

private:
    struct State;
    std::unique_ptr<State> state_;
};

} // namespace chockside::codec
