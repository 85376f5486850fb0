#pragma once
// Everything that hands can set on the aircraft, and the names by which people call it.

#include <array>
#include <map>
#include <optional>
#include <set>
#include <string>
#include <string_view>

namespace chockside::practice {

enum class BreakerState { in, pulled, collared };
enum Breaker : std::size_t { ref_1, ref_2, pitot_ht, ap_servo, disp_1, disp_2, xpdr, breaker_count };

inline constexpr std::array<std::string_view, breaker_count> breaker_labels{"REF 1", "REF 2", "PITOT HT", "AP SERVO", "DISP 1", "DISP 2", "XPDR"};

/// Places along the harness, sensor first; a plug is a place that comes apart.
enum Place : std::size_t { rms_1, p9, w7, d3, w8, j1, place_count };

inline constexpr std::array<std::string_view, place_count> place_labels{"RMS-1", "P9", "W7", "D3", "W8", "J1"};

/// "P9", "p9" or "plug P9": the last word counts, case doesn't. Unknown: nothing.
std::optional<Place> place_of(std::string_view name);
std::optional<Breaker> breaker_of(std::string_view label);
bool is_plug(Place place);

/// Pressure that the altimeters are set to where nobody mis-set one.
inline constexpr double standard_hpa = 1013.25;

enum class CartLoad { off, on, by_itself };

struct Controls {
    bool power = true;
    std::array<BreakerState, breaker_count> breakers{};
    std::array<bool, place_count> connected{true, true, true, true, true, true};
    bool breakout = false;
    bool covers = false;
    int cable = 0; ///< channel whose test plug carries the cable, 0 none
    bool heater = false;
    CartLoad cart_load = CartLoad::off;
    bool other_cart = false;
    std::array<bool, 2> slaved{true, true};
    std::array<int, 2> source{1, 2};
    bool transponder_on = false;
    double baro_hpa = standard_hpa;  ///< setting of altimeter 1; the standby is set right
    bool tester = false;             ///< the static tester holds the aircraft's static line
    std::set<std::string> open_panels; ///< ids: rack wing_tip wing_root cb_rear

    bool fed(Breaker breaker) const { return power && breakers[breaker] == BreakerState::in; }
};

} // namespace chockside::practice
