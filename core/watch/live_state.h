#pragma once
// The live fold: everything that the line has said, kept as it is now. Can be rebuilt from a capture by feeding it again.

#include <core/codec/plan.h>
#include <core/watch/drops.h>
#include <core/watch/flex.h>
#include <core/watch/settle.h>
#include <core/watch/snapshot.h>

#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace chockside::watch {

struct Reading {
    double value = 0;
    std::uint64_t raw = 0;
    codec::Validity validity = codec::Validity::good;
    std::int64_t t_ns = -1; ///< -1: never seen
};

struct LiveOptions {
    /// Unit time per wall time: the times given here run that much faster, but gaps made by the tablet's own scheduler do too.
    double time_scale = 1;
};

class LiveState {
public:
    explicit LiveState(std::shared_ptr<const codec::Plan> plan, LiveOptions options = {});
    ~LiveState();
    LiveState(LiveState&&) noexcept;

    void port_opened(const std::string& port, std::int64_t t_ns);
    void port_closed(std::int64_t t_ns);
    void port_lost(std::int64_t t_ns);

    void on_frame(const codec::FrameView& frame);
    void tick(std::int64_t t_ns);

    void set_counters(const codec::Counters& counters);
    void set_session(const SessionView& session);
    void set_capture(const CaptureView& capture);
    /// The whole memory as collected over its pages.
    void set_faults(std::vector<StoredFault> faults);
    void start_flex(std::int64_t t_ns);
    void stop_flex(std::int64_t t_ns);
    void mark(const std::string& place, std::int64_t t_ns);

    const Reading& reading(codec::SignalId id) const;
    LinkState link() const;
    LiveSnapshot snapshot(std::int64_t t_ns) const;

private:
    struct Impl;
    std::unique_ptr<Impl> impl_;
};

} // namespace chockside::watch
