#pragma once
// A sighting of a swing: when it may be taken, and which of those taken does not fit.

#include <core/heading/swing.h>
#include <core/job/context.h>

namespace chockside::job {

/// The sightings as a fit takes them.
std::vector<heading::SwingPoint> swing_points(const JobState&);
/// What it still waits for, in words; empty: it may be taken. Aligned, so not moving either, warm, and settled where the unit's profile has a
/// rule for it.
std::string sighting_waits(const profile::Profile&, const JobState&, const Context&);
/// A heading as people write it: 0 to 360.
bool is_heading(const std::string& number);
/// The point, counted from 0, that is no heading at all, or the one that stands out most of those sighted only once: it is sighted again
/// before more is asked.
std::optional<std::size_t> doubtful_sighting(const JobState&);
/// A point beyond the tolerance: no further heading can make such a swing pass.
bool sighted_beyond(const profile::Profile&, const JobState&);

} // namespace chockside::job
