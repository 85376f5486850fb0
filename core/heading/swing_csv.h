#pragma once

#include <core/heading/swing.h>

#include <string_view>
#include <vector>

namespace chockside::heading {

/// Points of a table with the heading line reference_deg,indicated_deg[,sigma_deg]: comma separated, decimal point, UTF-8 with or
/// without a byte order mark, LF or CR LF; empty lines and lines that begin with # are passed over.
/// Codes, each with arg line (from 1): no_header, unknown_column (column), decimal_comma, semicolon, wrong_field_count (fields, expected),
/// not_a_number (column, text), heading_out_of_range (column, text), bad_sigma (text), no_points.
Result<std::vector<SwingPoint>> read_swing_csv(std::string_view text);

} // namespace chockside::heading
