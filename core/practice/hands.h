#pragma once
// What a technician can do. Each act says what became of it; acts that a careful person would not do succeed all the same and are
// noted among the mishaps.

#include <core/practice/aircraft.h>

#include <string>
#include <string_view>

namespace chockside::practice {

/// `is` is "done" or a reason: no_such_thing, no_access, not_possible.
struct Act {
    std::string is = "done";
    bool done() const { return is == "done"; }
};

class Hands {
public:
    explicit Hands(Aircraft& aircraft) : p_(aircraft.parts()) {}

    Act power(bool on);
    Act breaker(std::string_view label, std::string_view to);
    Act plug(std::string_view label, bool connected);
    /// "J5A", "J5B" or "none".
    Act cable(std::string_view to);
    /// "breakout J1" or "probe covers".
    Act fit(std::string_view what, bool on);
    Act panel(std::string_view label, bool open);
    Act flex(std::string_view place, double gain, double seconds);
    Act still();
    Act turn(double to_deg);
    Act move(double metres);
    /// "PITOT HT" or "CART LOAD".
    Act load(std::string_view what, bool on);
    /// "SLAVED 1" or "SLAVED 2".
    Act select(std::string_view what, bool slaved);
    Act transfer(std::string_view display, int source);
    Act transponder(bool on);
    Act other_cart();
    Act mist(std::string_view place);
    Act repair(std::string_view what);

private:
    Act set_channel(std::string_view what, bool slaved);
    bool live() const;
    void note(const std::string& mishap) { p_.mishaps.push_back(mishap); }

    Parts& p_;
};

/// Whether an open panel lets a hand at the place.
bool reachable(const Controls& controls, Place place);
/// Panel id by id or label; empty when unknown.
std::string panel_of(std::string_view label);

} // namespace chockside::practice
