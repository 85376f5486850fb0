#pragma once
// Stored faults and self-test results under the names and codes of a profile.

#include <core/practice/detail/unit_state.h>

#include <string>
#include <vector>

namespace chockside::practice::detail {

/// The physics' own code of a fault id ("f_sensor_lost"); 0: it has no such fault.
int own_code(const std::string& fault_id);
/// `name` is a self-test id ("st_supply"); false for names that are none.
bool test_failed(const std::string& name, unsigned failed);
/// Rows of one page, counted from 0, newest first. Faults that the profile's table doesn't name are not told.
std::vector<codec::FieldValues> fault_rows(const profile::Unit& profile, const profile::Field& group, const UnitState& state, std::int64_t page);

} // namespace chockside::practice::detail
