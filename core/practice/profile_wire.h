#pragma once
// The serial side of a unit as its profile describes it: every periodic frame filled from the channel's state by role and name, and an
// answer to every request. PRU-2 has its own, written by hand, in wire.h.

#include <core/codec/decoder.h>
#include <core/codec/encoder.h>
#include <core/practice/detail/unit_state.h>

#include <map>
#include <memory>
#include <string>
#include <vector>

namespace chockside::practice {

class ProfileWire {
public:
    /// Codes: those of codec::Plan::compile (the requests read as frames).
    static Result<ProfileWire> make(std::shared_ptr<const codec::Plan> plan);

    /// Bytes from the technician's side; replies are added to the output. What is no request of the profile gets no answer.
    void feed(ByteView bytes, Unit& unit, const detail::UnitState& state);
    /// Periodic frames, and the self-test when its phase changes.
    void step(double dt_s, const detail::UnitState& state);
    Bytes take();
    void silence();
    /// The unit measures pressures, not attitudes.
    bool air_data() const { return plan_->unit().kind == "air_data_computer"; }
    /// Frames that could not be encoded: a profile that this aircraft cannot speak in full. Newest reason by frame name.
    const std::map<std::string, std::string>& unspoken() const { return unspoken_; }

private:
    struct Asked {
        const profile::Request* request = nullptr;
        std::map<std::string, std::int64_t> args;
        bool constants_right = true;
    };
    struct Due {
        const profile::Frame* frame;
        double left_s;
    };
    ProfileWire(std::shared_ptr<const codec::Plan> plan, std::shared_ptr<const codec::Plan> requests);

    bool speaks(const detail::UnitState& state) const;
    std::optional<Asked> understood(const codec::FrameView& frame) const;
    void answer(const Asked& asked, Unit& unit, const detail::UnitState& state);
    void reply(const Asked& asked, const detail::UnitState& state);
    void refuse(const profile::Request& request, const std::string& reason, const detail::UnitState& state);
    std::string act(const Asked& asked, Unit& unit, const detail::UnitState& state) const;
    void send(const profile::Frame& frame, const detail::UnitState& state, const detail::Reply& reply = {});
    const profile::Frame* self_test_frame() const;

    std::shared_ptr<const codec::Plan> plan_, requests_;
    codec::Encoder encoder_;
    codec::Decoder decoder_;
    std::vector<Due> due_;
    std::map<std::string, std::string> unspoken_;
    Bytes out_;
    int seen_channel_ = 0;
    bool seen_testing_ = false;
};

} // namespace chockside::practice
