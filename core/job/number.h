#pragma once
// Numbers of a job as text: the same whatever language the system runs in.

#include <optional>
#include <string>

namespace chockside::job {

/// The value of plain decimal text ("-0.02"); nothing where it is anything else ("1,9", "nan", "0x1", "").
std::optional<double> number_of(const std::string& text);

/// `decimals` 0 .. 15 figures after the point, no exponent, rounded from the exact value, ties to even; "-0.00" keeps its sign.
std::string fixed_text(double value, int decimals);

} // namespace chockside::job
