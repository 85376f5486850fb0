#pragma once
// The practice aircraft: a deterministic step function. No thread, clock or disk; the same scenario and the same calls give the
// same bytes.

#include <core/practice/air.h>
#include <core/practice/cockpit.h>
#include <core/practice/harness.h>
#include <core/practice/magnetics.h>
#include <core/practice/motion.h>
#include <core/practice/profile_wire.h>
#include <core/practice/supply.h>
#include <core/practice/unit.h>
#include <core/practice/wire.h>

#include <optional>
#include <string>
#include <vector>

namespace chockside::practice {

/// The state of the world in its parts. Hands change it, Eyes look at it; tests may too.
struct Parts {
    explicit Parts(const Scenario& scenario);

    World world;
    Fault fault;
    Defects defects;
    Controls controls;
    Stance stance;
    Motion motion;
    Supply supply;
    Harness harness;
    Magnetics magnetics;
    Unit unit;
    Air air;
    Wire wire;
    std::optional<ProfileWire> spoken; ///< a unit other than PRU-2
    SeededRandom look_noise;   ///< meters and readings by eye
    bool on_ground = true;
    double clock_s = 0;
    double trouble_seen_s = -1e9;             ///< when a display last looked wrong
    std::array<double, circuit_count> opened_s{-1e9, -1e9, -1e9};
    std::vector<std::string> mishaps;         ///< what a careful technician would not have done
    std::vector<std::string> repairs;
    std::string finding;                      ///< told by the technician; opens the envelope
};

class Aircraft {
public:
    explicit Aircraft(const Scenario& scenario);
    /// With the unit that speaks as a profile says.
    Aircraft(const Scenario& scenario, ProfileWire wire);

    /// One step, 0.01 or 0.02 s.
    void step(double dt_s);
    /// Steps of 0.02 s.
    void run(double seconds);
    double clock_s() const { return parts_.clock_s; }

    /// Serial bytes to the unit and from it; with the cable in no plug nothing arrives and nothing comes.
    void feed(ByteView bytes);
    Bytes take();

    Parts& parts() { return parts_; }
    const Parts& parts() const { return parts_; }

private:
    std::array<ChannelInput, 2> inputs(double turned_deg, const BodyField& field) const;
    detail::UnitState state() const;
    void step_unit(double dt_s, double turned_deg);
    void watch();

    Parts parts_;
};

/// True while a display shows a flag, a cross or a heading more than 2.5 degrees from the sighted one.
bool looks_wrong(const Parts& parts);

} // namespace chockside::practice
