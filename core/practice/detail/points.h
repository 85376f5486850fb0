#pragma once

#include <core/practice/controls.h>
#include <core/practice/harness.h>

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace chockside::practice::detail {

struct Pin {
    Place plug = j1;
    std::string name; ///< "A", "9"
};

/// The pins named in "J1-A to J1-B", in order.
std::vector<Pin> pins_in(std::string_view points);
bool names_structure(std::string_view points);
/// Circuit of a pin at J1, P9 or D3; nothing for supply and output pins.
std::optional<Circuit> circuit_of_pin(const Pin& pin);

} // namespace chockside::practice::detail
