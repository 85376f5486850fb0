#pragma once
// Listening to a port for a while, for whoever asks why nothing is heard.

#include <core/codec/plan.h>
#include <core/link/identify.h>
#include <core/link/port_check.h>

#include <QString>

#include <memory>
#include <vector>

namespace chockside::desk {

/// Opens the port as the profile says, listens, asks the unit who it is, and tells what was seen. Where nothing fits, other rates are
/// tried. Needs a running QCoreApplication.
link::PortFacts look_at_port(const QString& port, std::shared_ptr<const codec::Plan> plan, double seconds);

/// Bytes taken at each rate for this long. A port that does not open is the problem.
Result<std::vector<link::RateSample>> take_samples(const QString& port, const std::vector<int>& rates, double seconds_each);

const std::vector<int>& usual_rates();

} // namespace chockside::desk
