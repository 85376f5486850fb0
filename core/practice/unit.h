#pragma once
// The box: two channels, one session at a time, what is stored in it, and its side straps.

#include <core/practice/channel.h>
#include <core/practice/controls.h>
#include <core/practice/harness.h>
#include <core/practice/supply.h>

#include <array>
#include <string>

namespace chockside::practice {

enum class Refusal { none = 0, not_on_ground = 1, self_test_running = 2, other_channel_in_session = 3, bad_key = 4 };

class Unit {
public:
    Unit(const World& world, const Fault& fault);

    /// As found: both channels running for the arrival time, with the fault memory of the scenario.
    void wake_warm(const World& world, const Fault& fault, const std::array<ChannelInput, 2>& in, const Defects& defects);
    void step(double dt_s, const std::array<ChannelInput, 2>& in, const Defects& defects);

    Channel& channel(int number) { return channels_[static_cast<std::size_t>(number - 1)]; }
    const Channel& channel(int number) const { return channels_[static_cast<std::size_t>(number - 1)]; }

    Refusal enter(int channel, unsigned key, bool on_ground);
    /// The same once the key was found right.
    Refusal enter(int channel, bool on_ground);
    /// False when the channel is not in session. A session that isn't held for Pace::session_lost_s is over.
    bool hold(int channel);
    void leave(int channel);
    Refusal run_test(int channel);
    int session() const { return session_; }

    const Calibration& calibration() const { return calibration_; }
    void load(const Calibration& calibration) { calibration_ = calibration; }
    const std::string& part() const { return part_; }
    const std::string& serial() const { return serial_; }
    unsigned program_crc() const { return crc_; }
    /// Another box: new serial, empty fault memory, no magnetic calibration in it.
    void exchange(const std::string& serial);

private:
    std::array<Channel, 2> channels_;
    Calibration calibration_;
    std::string part_, serial_;
    unsigned crc_ = 0;
    int session_ = 0;
    double session_left_s_ = 0, session_lost_s_ = 6;
};

/// 0 open, else the side the strap says.
int strap_of(int channel, const Defects& defects);
/// Source number that the channel's words carry: an open strap reads as the other side.
int source_number(int channel, const Defects& defects);

} // namespace chockside::practice
