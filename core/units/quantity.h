#pragma once
// A number with its unit in the type. Going in is explicit, coming out is `.value`; nothing converts by itself.

namespace chockside {

template <class Unit>
struct Quantity {
    double value = 0;

    constexpr Quantity() = default;
    constexpr explicit Quantity(double v) : value(v) {}

    // Written out: moc of Qt 6.4 cannot read <compare>.
    friend constexpr bool operator==(const Quantity&, const Quantity&) = default;
    friend constexpr bool operator<(Quantity a, Quantity b) { return a.value < b.value; }
    friend constexpr bool operator>(Quantity a, Quantity b) { return a.value > b.value; }
    friend constexpr bool operator<=(Quantity a, Quantity b) { return a.value <= b.value; }
    friend constexpr bool operator>=(Quantity a, Quantity b) { return a.value >= b.value; }
    friend constexpr Quantity operator+(Quantity a, Quantity b) { return Quantity(a.value + b.value); }
    friend constexpr Quantity operator-(Quantity a, Quantity b) { return Quantity(a.value - b.value); }
    friend constexpr Quantity operator-(Quantity a) { return Quantity(-a.value); }
    friend constexpr Quantity operator*(Quantity a, double k) { return Quantity(a.value * k); }
    friend constexpr Quantity operator*(double k, Quantity a) { return Quantity(k * a.value); }
    friend constexpr Quantity operator/(Quantity a, double k) { return Quantity(a.value / k); }
    friend constexpr double operator/(Quantity a, Quantity b) { return a.value / b.value; }
};

using Degrees = Quantity<struct DegreesUnit>;
using Radians = Quantity<struct RadiansUnit>;
using DegreesPerSecond = Quantity<struct DegreesPerSecondUnit>;
using Seconds = Quantity<struct SecondsUnit>;
using Volts = Quantity<struct VoltsUnit>;
using Amperes = Quantity<struct AmperesUnit>;
using Ohms = Quantity<struct OhmsUnit>;
using Nanotesla = Quantity<struct NanoteslaUnit>;
using Celsius = Quantity<struct CelsiusUnit>;
using Kelvin = Quantity<struct KelvinUnit>;
using Metres = Quantity<struct MetresUnit>;
using Feet = Quantity<struct FeetUnit>;
using Knots = Quantity<struct KnotsUnit>;
using MetresPerSecond = Quantity<struct MetresPerSecondUnit>;
using Hectopascals = Quantity<struct HectopascalsUnit>;
using InchesOfMercury = Quantity<struct InchesOfMercuryUnit>;

} // namespace chockside
