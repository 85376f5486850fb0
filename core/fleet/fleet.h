#pragma once
// Numbers over many jobs, for the shop: pure functions of what each folded job says. Nothing here has a clock or draws anything.

#include <core/job/state.h>
#include <core/stats/summary.h>

#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <vector>

namespace chockside::fleet {

/// What the numbers need of one job. Times are the writers' UTC in ms, for people: never the only ground of a decision.
struct JobFacts {
    std::string job, tail, aircraft_type, complaint_kind;
    std::int64_t opened_ms = 0, last_ms = 0; ///< first and last entry; of a closed job the closing
    std::optional<std::int64_t> isolate_ms; ///< from the opening to the finding that stands; nothing without one
    std::string finding_kind;               ///< isolated none_found not_proven, or empty
    std::string finding_class, cause;       ///< of the finding that stands
    std::string place;                      ///< of the cause, by the profile; empty where it names none
    struct Removed {
        std::string number, serial;
        bool cured = true;                  ///< false: the fault stayed after it
        bool operator==(const Removed&) const = default;
    };
    std::vector<Removed> removed;
    bool closed = false, practice = false;
    bool operator==(const JobFacts&) const = default;
};

/// Total: a job with nothing in it gives nothing.
JobFacts facts_of(const profile::Profile&, const job::JobState&);

/// A result of the test bench of a removed unit.
struct Bench {
    std::string number, serial;
    std::int64_t at_ms = 0;
    bool fault_found = false;
};

/// A share with its exact two-sided interval (Clopper and Pearson).
struct Share {
    int of = 0, all = 0;
    std::optional<stats::Interval> interval; ///< nothing where `all` is 0
};

struct UnitHistory {
    std::string number, serial;
    int removals = 0, not_cured = 0, benched = 0, no_fault_found = 0;
    int returned = 0;                        ///< removals after which a job of the same kind was opened on that aircraft in time
    std::vector<std::string> tails, jobs;    ///< in order of time, each once
    /// The unit comes back: removed twice or more, and each time without a fault that the bench could see or that its change cured.
    bool suspect() const { return removals >= 2 && no_fault_found + not_cured + returned >= 2; }
};

struct Options {
    double confidence = 0.95;
    std::int64_t return_days = 30; ///< a fault that comes after longer counts as another one
    bool practice = false;         ///< practice jobs count, and only they, where true
};

/// Histories of removed units, most removals first, then by number and serial. Serials that are empty are left out.
std::vector<UnitHistory> units_back(const std::vector<JobFacts>&, const std::vector<Bench>&, const Options& = {});

struct Rates {
    int jobs = 0;
    Share no_fault_found;  ///< of benched removals
    Share fault_returned;  ///< of closed jobs: the same kind on the same aircraft within return_days of its last entry
    Share not_cured;       ///< of removals
    Share not_proven;      ///< of jobs with a finding
    /// Jobs per aircraft and 30 days, with Garwood's interval; the exposure runs from an aircraft's first job to the last entry of all.
    struct PerAircraft {
        std::string tail;
        int jobs = 0;
        double days = 0;
        std::optional<stats::Interval> per_30_days; ///< nothing where the time is less than a day
    };
    std::vector<PerAircraft> aircraft; ///< most jobs first, then by tail
};
/// Code: bad_confidence.
Result<Rates> rates(const std::vector<JobFacts>&, const std::vector<Bench>&, const Options& = {});

struct WiringCause {
    std::string place, cause, tail; ///< tail is empty in the table over all aircraft
    int jobs = 0;
};
/// Findings of the classes wiring and contact by segment and cause; first over all aircraft, or per aircraft where `by_aircraft`. Most
/// frequent first, then by names.
std::vector<WiringCause> wiring_causes(const std::vector<JobFacts>&, bool by_aircraft, const Options& = {});

struct TimeToIsolate {
    int jobs = 0;
    double median_min = 0, lower_quartile_min = 0, upper_quartile_min = 0; ///< linear between order statistics (type 7)
    /// Of the median, from order statistics alone (binomial, no shape assumed); nothing below six jobs at 95 %.
    std::optional<stats::Interval> median_interval;
};
/// Over jobs with a finding. Code: bad_confidence.
Result<TimeToIsolate> time_to_isolate(const std::vector<JobFacts>&, const Options& = {});

} // namespace chockside::fleet
