#pragma once
// The technician's meter: points as a person reads them ("J1-A to J1-B"), values with 0.5 % noise.

#include <core/practice/aircraft.h>

#include <string>
#include <string_view>

namespace chockside::practice {

/// `is`: "reads" with a value; "open" when the meter overruns; else why there is no reading: no_access (panel shut, nothing to hold
/// the leads to), live (power on where it must be off), no_such_points.
struct Reading {
    std::string is = "reads";
    double value = 0;
    bool steps = false; ///< the reading jumped within the last ten seconds
};

/// Where the meter overruns, in ohms and in megohms.
inline constexpr double overrun_ohm = 1e8, overrun_megohm = 1000;

class Meter {
public:
    explicit Meter(Parts& parts) : p_(parts) {}

    /// DC volts: J1-A to J1-B, J1-C to J1-D (breakout fitted); REF 1 line to REF 1 load, REF 2 line to load, BUS ESS, BUS MAIN
    /// (panel P2 rear open); CART.
    Reading volts(std::string_view points);
    Reading amps(std::string_view points);
    /// J1-7/8 drive, J1-9/10 X, J1-11/12 Y, J1-17 to structure (strap of ch1), P9-1/2, P9-3/4, P9-5/6 toward the sensor, and one wire
    /// end to end ("J1-9 to P9-3").
    Reading ohms(std::string_view points);
    /// J1 or P9 signal pins to structure.
    Reading megohms(std::string_view points);
    /// Feet that the static line loses in a minute, with the tester on it.
    Reading leak(std::string_view points);

private:
    double noisy(double value, double share = 0.005);
    Reading winding(Circuit circuit, bool at_sensor);
    bool dead() const;

    Parts& p_;
};

} // namespace chockside::practice
