#pragma once

#include <core/base/bytes.h>
#include <core/practice/unit.h>

namespace chockside::practice::detail {

Bytes status_frame(const Channel& channel, const Controls& controls, bool on_ground, bool moving);
Bytes words_frame(int number, const Channel& channel, const Controls& controls, const Defects& defects);
Bytes self_test_frame(const Channel& channel);
/// Rows newest first, 16 to a page; a page beyond the last is empty.
Bytes fault_page(const Channel& channel, unsigned page);
Bytes identity_frame(const Unit& unit);
Bytes config_frame(int number, const Unit& unit, const Controls& controls, const Defects& defects);

} // namespace chockside::practice::detail
