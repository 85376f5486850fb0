#pragma once
// The serial side of one channel: periodic frames, and a reply to each request. Bytes only; pace and rate belong to the line.

#include <core/base/bytes.h>
#include <core/practice/detail/pack.h>
#include <core/practice/unit.h>

namespace chockside::practice {

class Wire {
public:
    /// Bytes from the technician's side; replies are added to the output.
    void feed(ByteView bytes, int channel, Unit& unit, const Controls& controls, const Defects& defects, bool on_ground);
    /// Status each 200 ms, words each 40 ms, and the self-test when its phase changes.
    void step(double dt_s, int channel, const Unit& unit, const Controls& controls, const Defects& defects, bool on_ground, bool moving);
    /// What the unit sent since the last call.
    Bytes take();
    void silence();

private:
    void answer(const Bytes& request, int channel, Unit& unit, const Controls& controls, const Defects& defects, bool on_ground);
    void send(const Bytes& payload);
    void refuse(unsigned of, Refusal why);
    void acknowledge(unsigned of);

    detail::SlipReader reader_;
    Bytes out_;
    double status_due_s_ = 0, words_due_s_ = 0;
    int seen_channel_ = 0;
    bool seen_testing_ = false;
};

} // namespace chockside::practice
