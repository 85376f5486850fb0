#include <core/practice/wire.h>

#include <core/practice/detail/frames.h>

#include <utility>

namespace chockside::practice {

namespace {

constexpr double status_period_s = 0.2, words_period_s = 0.04;
// Longer than any frame the unit waits for; a technician's tool that floods it gets no more.
constexpr std::size_t most_pending = 1 << 16;

unsigned at(const Bytes& bytes, std::size_t i)
{
    return std::to_integer<unsigned>(bytes[i]);
}

} // namespace

void Wire::send(const Bytes& payload)
{
    const Bytes frame = detail::slip_frame(payload);
    if (out_.size() + frame.size() <= most_pending) out_.insert(out_.end(), frame.begin(), frame.end());
}

void Wire::refuse(unsigned of, Refusal why)
{
    send(detail::Packer(0xEE).u8(of).u8(static_cast<unsigned>(why)).bytes());
}

void Wire::acknowledge(unsigned of)
{
    send(detail::Packer(0x80).u8(of).bytes());
}

void Wire::feed(ByteView bytes, int channel, Unit& unit, const Controls& controls, const Defects& defects, bool on_ground)
{
    for (std::byte b : bytes)
        if (const auto request = reader_.feed(b)) answer(*request, channel, unit, controls, defects, on_ground);
}

// A request of the wrong length isn't one: the unit stays silent, as with a bad checksum.
void Wire::answer(const Bytes& r, int channel, Unit& unit, const Controls& controls, const Defects& defects, bool on_ground)
{
    if (channel == 0 || !unit.channel(channel).talking()) return;
    const unsigned id = at(r, 0);
    if (id == 0x10 && r.size() == 4) {
        const bool here = static_cast<int>(at(r, 3)) == channel;
        const Refusal why = here ? unit.enter(channel, at(r, 1) << 8 | at(r, 2), on_ground) : Refusal::bad_key;
        why == Refusal::none ? acknowledge(id) : refuse(id, why);
    } else if (id == 0x11 && r.size() == 1) {
        unit.hold(channel) ? acknowledge(id) : refuse(id, Refusal::bad_key);
    } else if (id == 0x13 && r.size() == 1) {
        const Refusal why = unit.run_test(channel);
        why == Refusal::none ? acknowledge(id) : refuse(id, why);
    } else if (id == 0x1F && r.size() == 1) {
        unit.leave(channel);
        acknowledge(id);
    } else if (id == 0x12 && r.size() == 1) {
        send(detail::self_test_frame(unit.channel(channel)));
    } else if (id == 0x21 && r.size() == 2) {
        send(detail::fault_page(unit.channel(channel), at(r, 1)));
    } else if (id == 0x23 && r.size() == 1) {
        send(detail::identity_frame(unit));
    } else if (id == 0x24 && r.size() == 1) {
        send(detail::config_frame(channel, unit, controls, defects));
    }
}

void Wire::step(double dt_s, int channel, const Unit& unit, const Controls& controls, const Defects& defects, bool on_ground, bool moving)
{
    if (channel == 0 || !unit.channel(channel).talking()) {
        silence();
        return;
    }
    const Channel& speaking = unit.channel(channel);
    const bool testing = speaking.phase() == Phase::self_test;
    if (seen_channel_ == channel ? testing != seen_testing_ : testing) send(detail::self_test_frame(speaking));
    seen_channel_ = channel;
    seen_testing_ = testing;
    words_due_s_ -= dt_s;
    status_due_s_ -= dt_s;
    if (words_due_s_ <= 1e-9) {
        send(detail::words_frame(channel, speaking, controls, defects));
        words_due_s_ += words_period_s;
    }
    if (status_due_s_ <= 1e-9) {
        send(detail::status_frame(speaking, controls, on_ground, moving));
        status_due_s_ += status_period_s;
    }
}

void Wire::silence()
{
    reader_ = {};
    words_due_s_ = status_due_s_ = 0;
    seen_channel_ = 0;
}

Bytes Wire::take()
{
    return std::exchange(out_, {});
}

} // namespace chockside::practice
