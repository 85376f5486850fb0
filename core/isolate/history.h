#pragma once
// Earlier jobs as evidence: does it come back on this tail, does it follow this serial, and at what rate?

#include <core/isolate/isolate.h>

#include <core/stats/summary.h>

#include <cstdint>

namespace chockside::isolate {

struct PastJob {
    std::string id, tail, complaint;   ///< complaint: kind of write-up
    std::string unit_serial;           ///< in the aircraft when it was written up
    std::string cause;                 ///< found; empty: nothing was found
    bool unit_removed = false;
    bool bench_found_fault = false;    ///< of a unit that was removed
    double hours_ago = 0;              ///< flying hours before this job
};

struct Recurrence {
    int events = 0;
    double hours = 0;                  ///< looked back over
    double per_1000_h = 0;
    stats::Interval per_1000_h_95;     ///< exact for a Poisson count (Garwood)
};

struct History {
    Recurrence tail;                   ///< this kind of write-up on this tail
    Recurrence serial;                 ///< this kind of write-up with this serial on other tails
    int same_after_unit_change = 0;    ///< write-ups on this tail after another unit had been put in for the same one
    int removed_no_fault_found = 0;    ///< removals of this serial whose bench found nothing
    bool rogue = false;                ///< removed without fault found on two tails or more: the serial, not the aircraft
    double follows_serial_p = 1;       ///< Fisher's exact, one-sided: write-ups with this serial against without it, job by job
    std::vector<std::string> jobs;     ///< ids that count
};

struct Fleet {
    double tail_hours = 0, serial_elsewhere_hours = 0; ///< flying hours looked back over, > 0
};

/// What the shop's records say. Codes: bad_exposure (hours not > 0).
Result<History> history(std::span<const PastJob>, const std::string& tail, const std::string& serial, const std::string& complaint, const Fleet&);

/// Answers for two checks by library outcome words: the tail's ("same_after_unit_change", "same_before", "first_time") and the serial's
/// ("repeats_elsewhere", "not_known", "none"). Checks without such outcomes give no evidence.
std::vector<Evidence> history_evidence(const Model&, const History&, const std::string& tail_check, const std::string& serial_check);

/// Recent work raises every cause at the places it touched: their priors are multiplied (3 to 10 in practice) before any evidence.
void raise_places(Model&, std::span<const std::string> places, double factor);

/// Three mean intervals without the fault, in the condition that failed: how long, in the unit of the rate, and how sure that makes.
struct Proof {
    double time = 0;                   ///< needed: 3 / rate
    double confidence = 0;             ///< 1 - exp(-3) = 0.950 after that time without an event
    double upper_rate = 0;             ///< bound at 95 % after `watched` with `events`
    bool fixed = false;                ///< no event and watched long enough
};
/// `rate`: of the fault in its condition before the repair. Codes: bad_rate, bad_exposure, bad_count.
Result<Proof> proof_of_fix(double rate, double watched, int events);

} // namespace chockside::isolate
