#pragma once
// The wires from sensor to unit: what is open now, what leaks, and how moving a place brings an intermittent out.

#include <core/base/random.h>
#include <core/practice/controls.h>
#include <core/practice/defects.h>

#include <array>
#include <optional>
#include <string>

namespace chockside::practice {

enum Circuit : std::size_t { drive, signal_x, signal_y, circuit_count };

class Harness {
public:
    Harness(const Defects& defects, std::uint64_t seed);

    void step(double dt_s, const Controls& controls, const Defects& defects);

    /// Moves a place for a while; gain 1 is a firm hand. A place beside it moves a little too.
    void flex(Place place, double gain, double seconds);
    void leave_still();
    bool moving() const { return flex_left_s_ > 0; }
    /// A plug taken off and put back rubs its contacts clean for a while.
    void reseat(Place place);
    /// Water on a place: it only enters where the seal is bad, so where a wet defect is.
    void mist(Place place, const Defects& defects);
    void dry(Place place);

    bool open(Circuit circuit) const { return open_[circuit]; }
    /// Open by a bad contact or wire alone, whatever plugs are apart.
    bool parted(Circuit circuit) const { return open_left_s_[circuit] > 0; }
    /// Wetness 0 dry to 1 soaked.
    double wetness(Place place) const { return wetness_[place]; }
    /// Ohms from a signal contact to structure.
    double leak_ohm(const Defects& defects) const;

private:
    double rate_gain(const Effect& effect, Place place) const;
    void step_intermittent(double dt_s, const Effect& effect);
    void step_wet(double dt_s, const Effect& effect);

    SeededRandom random_;
    std::array<bool, circuit_count> open_{};
    std::array<double, circuit_count> open_left_s_{};
    std::array<double, place_count> wetness_{};
    std::array<double, place_count> relief_{};
    std::optional<Place> flexed_;
    double flex_gain_ = 0, flex_left_s_ = 0;
};

/// "drive", "x" or "y" as the practice file says it.
std::optional<Circuit> circuit_of(const std::string& name);

} // namespace chockside::practice
