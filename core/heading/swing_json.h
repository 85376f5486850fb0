#pragma once

#include <core/base/json.h>
#include <core/heading/swing.h>

namespace chockside::heading {

/// terms, coefficients {A: {value, se}, ...}, sigma_deg, residuals_deg, outliers (from 0), worst {heading_deg, value_deg, lower_deg,
/// upper_deg}, result, next_heading_deg (null where there is none), card [{for_deg, steer_deg}].
json::Value swing_to_json(const SwingFit& fit);

} // namespace chockside::heading
