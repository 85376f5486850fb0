#pragma once
// The error of an indicated heading over a turn, and what its shape is called.

#include <core/campaign/truth.h>

#include <functional>

namespace chockside::campaign {

/// Amplitudes in degrees of indicated minus true at `headings` evenly spaced headings: constant, one cycle, two cycles.
struct TurnShape {
    double constant = 0, one = 0, two = 0;
    bool backwards = false;  ///< turns the other way
    bool sticks = false;     ///< hardly moves over part of the circle
};
TurnShape turn(const Truth&, const Setting&, int headings, const std::function<double()>& noise);
/// backwards sticks one_cycle two_cycle constant within
const char* shape_of_turn(const Truth&, const Setting&, int headings, const std::function<double()>& noise);

} // namespace chockside::campaign
