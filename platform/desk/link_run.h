#pragma once
// What a link worker does, without a thread, a timer or Qt: bytes and time in, bytes, notes and answers out. The same for a port, a
// replay and a test.

#include <core/capture/packet.h>
#include <core/codec/decoder.h>
#include <core/link/byte_channel.h>
#include <core/link/exchange.h>
#include <core/link/ground_test.h>
#include <core/watch/live_state.h>
#include <core/watch/recorder.h>

#include <functional>
#include <map>
#include <memory>
#include <string>
#include <vector>

namespace chockside::desk {

struct LinkRunHooks {
    std::function<void(ByteView)> send;
    std::function<void(capture::Packet)> keep;    ///< times of packets are boot-clock; the owner makes them UTC
    std::function<void(watch::Noted)> noted;
    std::function<void(const std::string& tag, json::Value)> answered;
};

class LinkRun final : public link::ByteSink {
public:
    LinkRun(std::shared_ptr<const codec::Plan> plan, double time_scale, std::int64_t boot_ns, LinkRunHooks hooks);

    void bytes(ByteView bytes, std::int64_t t_ns) override;
    void event(const link::LineEvent& event, std::int64_t t_ns) override;
    void tick(std::int64_t t_ns);

    void request(const std::string& name, std::map<std::string, std::int64_t> args, const std::string& tag, std::int64_t t_ns);
    void read_all(std::int64_t t_ns);
    Status enter_session(const std::string& channel, std::int64_t t_ns);
    void leave_session(std::int64_t t_ns);
    bool in_session() const;
    bool busy() const { return exchange_.busy(); }
    void set_permission(const link::Permission& permission) { permission_ = permission; }
    void set_capture(const watch::CaptureView& view) { live_.set_capture(view); }
    void set_port(std::string port) { port_ = std::move(port); }

    void mark(const std::string& place, std::int64_t t_ns);
    void start_flex(std::int64_t t_ns);
    void stop_flex(std::int64_t t_ns);
    void comment(const std::string& text, std::int64_t t_ns);

    watch::LinkState link() const { return live_.link(); }
    /// Compares with the last one, hands out notes, and gives the moment.
    std::shared_ptr<const watch::LiveSnapshot> publish(std::int64_t t_ns);
    /// Hands out every note that waits (the link is being closed).
    void drain(std::int64_t t_ns);

private:
    std::int64_t unit_time(std::int64_t t_ns) const;
    void frame(const codec::FrameView& frame, std::int64_t t_ns);
    void pump(std::int64_t t_ns);
    void outcome(const link::Outcome& outcome, std::int64_t t_ns);
    void take_faults(const link::Outcome& outcome);
    void ask_self_test(std::int64_t t_ns);
    void show_session();
    void answer(const std::string& tag, const link::Outcome& outcome);
    const profile::Request* find_request(const std::string& name) const;

    std::shared_ptr<const codec::Plan> plan_;
    double scale_;
    std::int64_t boot_ns_;
    LinkRunHooks hooks_;
    codec::Decoder decoder_;
    link::Exchange exchange_;
    link::GroundTest ground_;
    watch::LiveState live_;
    watch::Pace pace_;
    std::shared_ptr<const watch::LiveSnapshot> last_;
    link::Permission permission_;
    std::string port_;
    std::int64_t asked_self_ns_ = -1;
    std::int64_t bytes_ns_ = 0; ///< when the last byte came
};

} // namespace chockside::desk
