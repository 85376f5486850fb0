#pragma once
// Numbers of a job as text: the same whatever language the system runs in. They are written by fixed_text (core/units).

#include <core/units/decimal.h>

#include <optional>
#include <string>

namespace chockside::job {

/// The value of plain decimal text ("-0.02"); nothing where it is anything else ("1,9", "nan", "0x1", "").
std::optional<double> number_of(const std::string& text);

} // namespace chockside::job
