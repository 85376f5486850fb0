#pragma once
// What a person sees on the panel, from the words that reach it.

#include <core/practice/air.h>
#include <core/practice/controls.h>
#include <core/practice/supply.h>
#include <core/practice/unit.h>

namespace chockside::practice {

struct DisplayFace {
    bool lit = false;
    int source = 1;
    double heading_deg = 0; ///< whole degrees, meaningless with flag or cross
    bool flag = false;      ///< heading flag
    bool attitude_flag = false;
    bool cross = false;     ///< no usable words: nothing arrives, or it says it is the other side
};

struct AltimeterFace {
    bool lit = false;
    bool flag = false;
    double altitude_ft = 0; ///< to 10 ft, meaningless with the flag
};

/// Altimeter 1, which shows what the air data unit computes, by its own setting. On display 1.
AltimeterFace altimeter(const Controls& controls, const Supply& supply, const Unit& unit, const Air& air);
/// The standby altimeter: a capsule on the aircraft's static line, no supply.
AltimeterFace standby_altimeter(const Air& air);

/// Display 1 or 2 as it stands now.
DisplayFace face(int display, const Controls& controls, const Supply& supply, const Unit& unit, const Defects& defects);

} // namespace chockside::practice
