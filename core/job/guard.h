#pragma once

#include <core/base/result.h>
#include <core/job/command.h>
#include <core/job/context.h>
#include <core/journal/entry.h>

namespace chockside::job {

/// A command against the state: the entries it writes, or the missing need. Guards stand here and nowhere else; the fold never refuses.
/// Codes: plug_fed (of, breakers), not_dead (of, points), need (what), tripped_is_evidence (of), plug_open (of, plug), open_items (list),
/// owed_open (list), unsigned (meaning), second_person (who), no_finding, wait_running (which), already_closed, bad_command (what).
Result<std::vector<journal::Draft>> guard(const profile::Profile&, const JobState&, const Context&, const Command&);

/// The entry that opens a job. Pins the profile's digest, the practice flag and the time scale.
struct Opening {
    std::string tail, complaint, complaint_kind;
    std::int64_t departure_utc_ms = 0, decide_utc_ms = 0, scale_milli = 1000;
    bool practice = false;
    std::string power = "on"; ///< as the technician meets the aircraft
    std::string given;        ///< the job of a write-up that the shop gave; empty: a job of its own
};
journal::Draft open_draft(const profile::Profile&, const Opening&, const std::string& person);

} // namespace chockside::job
