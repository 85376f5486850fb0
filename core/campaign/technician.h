#pragma once
// A person on a simulated clock: opens panels, changes power, does checks, slips, spoils evidence.

#include <core/campaign/mind.h>

namespace chockside::campaign {

class Technician {
public:
    Technician(const Job& job, const Person& person, std::uint64_t seed);

    /// Minutes that a check would take now: own, access, power, warm-up.
    double price(const isolate::Check&) const;
    /// Does it: time passes, panels stay open, water dries. The evidence as the person would enter it.
    isolate::Evidence look(const isolate::Check&);

    const isolate::Situation& situation() const { return situation_; }
    isolate::Presence presence() const { return presence_; }
    double minutes() const { return minutes_; }
    int checks() const { return static_cast<int>(situation_.answered.size()); }

private:
    isolate::Evidence entered(const isolate::Check&, const Seen&);

    Job job_;
    Person person_;
    SeededRandom chance_;
    isolate::Situation situation_;
    isolate::Presence presence_ = isolate::Presence::unknown;
    double minutes_ = 0;
    std::set<std::string> disturbed_;
};

constexpr double shift_min = 480;
constexpr int most_checks = 60;

} // namespace chockside::campaign
