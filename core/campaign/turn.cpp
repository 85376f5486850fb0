#include <core/campaign/turn.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <vector>

namespace chockside::campaign {

namespace {

constexpr double limit_deg = 2; // what this practice aircraft's manual prints

double folded(double d) { return std::fmod(std::fmod(d, 360) + 540, 360) - 180; }

} // namespace

TurnShape turn(const Truth& t, const Setting& s, int headings, const std::function<double()>& noise)
{
    std::vector<double> read;
    for (int k = 0; k < headings; ++k) read.push_back(indicated_heading(t, s, 360.0 * k / headings) + t.logic.reference_deg + noise());
    TurnShape shape;
    double least_step = 360, sum_steps = 0;
    for (int k = 0; k < headings; ++k) {
        const double step = folded(read[static_cast<std::size_t>((k + 1) % headings)] - read[static_cast<std::size_t>(k)]);
        least_step = std::min(least_step, step);
        sum_steps += step;
    }
    shape.backwards = sum_steps < -180;
    shape.sticks = !shape.backwards && least_step < 0.45 * 360 / headings;
    double b = 0, c = 0, d = 0, e = 0;
    for (int k = 0; k < headings; ++k) {
        const double h = 2 * std::numbers::pi * k / headings, off = folded(read[static_cast<std::size_t>(k)] - 360.0 * k / headings);
        shape.constant += off / headings;
        b += 2 * off * std::sin(h) / headings, c += 2 * off * std::cos(h) / headings;
        if (headings > 4) d += 2 * off * std::sin(2 * h) / headings, e += 2 * off * std::cos(2 * h) / headings;
    }
    shape.one = std::hypot(b, c), shape.two = std::hypot(d, e);
    return shape;
}

const char* shape_of_turn(const Truth& t, const Setting& s, int headings, const std::function<double()>& noise)
{
    const TurnShape f = turn(t, s, headings, noise);
    if (f.backwards) return "backwards";
    if (f.sticks) return "sticks";
    const double most = std::max({std::fabs(f.constant), f.one, f.two});
    if (most < limit_deg && std::fabs(f.constant) < 1) return "within";
    if (std::fabs(f.constant) >= std::max(f.one, f.two)) return "constant";
    return f.one >= f.two ? "one_cycle" : "two_cycle";
}

} // namespace chockside::campaign
