#include <core/practice/unit.h>

namespace chockside::practice {

namespace {

constexpr unsigned session_key = 0x5A01;

Calibration stored_calibration(const World& world, const Fault& fault)
{
    for (const Effect& effect : fault.effects) {
        if (effect.kind != "calibration") continue;
        const auto other = world.calibrations.find(effect.text("tail"));
        if (other != world.calibrations.end()) return other->second;
    }
    return world.calibrations.at(world.tail);
}

} // namespace

Unit::Unit(const World& world, const Fault& fault)
    : channels_{Channel(1, 0xC1), Channel(2, 0xC2)}, calibration_(stored_calibration(world, fault)), part_(world.part), crc_(world.identity_crc), session_lost_s_(world.pace.session_lost_s)
{
    const auto serial = world.serials.find(world.unit_name);
    if (serial != world.serials.end()) serial_ = serial->second;
}

void Unit::wake_warm(const World& world, const Fault& fault, const std::array<ChannelInput, 2>& in, const Defects& defects)
{
    for (const OldRecord& old : fault.stored)
        if (old.channel == 1 || old.channel == 2)
            channel(old.channel).memory().recall({old.code, world.arrival_power_up - old.power_ups_ago, static_cast<double>(old.at_s), old.count, false});
    for (std::size_t c = 0; c < 2; ++c) channels_[c].wake_warm(world.arrival_uptime_s, world.arrival_power_up, in[c], defects);
}

void Unit::step(double dt_s, const std::array<ChannelInput, 2>& in, const Defects& defects)
{
    for (std::size_t c = 0; c < 2; ++c) channels_[c].step(dt_s, in[c], defects);
    session_left_s_ -= dt_s;
    if (session_ != 0 && (session_left_s_ <= 0 || !channel(session_).talking())) session_ = 0;
}

Refusal Unit::enter(int number, unsigned key, bool on_ground)
{
    return key == session_key ? enter(number, on_ground) : Refusal::bad_key;
}

Refusal Unit::enter(int number, bool on_ground)
{
    if (!on_ground) return Refusal::not_on_ground;
    if (channel(number).phase() == Phase::self_test) return Refusal::self_test_running;
    if (session_ != 0 && session_ != number) return Refusal::other_channel_in_session;
    session_ = number;
    session_left_s_ = session_lost_s_;
    return Refusal::none;
}

bool Unit::hold(int number)
{
    if (session_ != number) return false;
    session_left_s_ = session_lost_s_;
    return true;
}

void Unit::leave(int number)
{
    if (session_ == number) session_ = 0;
}

Refusal Unit::run_test(int number)
{
    if (session_ != number) return Refusal::bad_key;
    if (channel(number).phase() == Phase::self_test) return Refusal::self_test_running;
    channel(number).restart_test();
    return Refusal::none;
}

void Unit::exchange(const std::string& serial)
{
    serial_ = serial;
    calibration_ = {};
    session_ = 0;
    channels_ = {Channel(1, 0xD1), Channel(2, 0xD2)};
}

int strap_of(int channel, const Defects& defects)
{
    return defects.find("strap_open", channel) ? 0 : channel;
}

int source_number(int channel, const Defects& defects)
{
    return defects.find("strap_open", channel) ? 3 - channel : channel;
}

} // namespace chockside::practice
