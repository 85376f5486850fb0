#pragma once
// What a person sees on the panel, from the words that reach it.

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

/// Display 1 or 2 as it stands now.
DisplayFace face(int display, const Controls& controls, const Supply& supply, const Unit& unit, const Defects& defects);

} // namespace chockside::practice
