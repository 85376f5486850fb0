#include <core/isolate/history.h>

#include <core/stats/counts.h>

#include <algorithm>
#include <cmath>

namespace chockside::isolate {

namespace {

constexpr double confidence = 0.95;
constexpr double mean_intervals = 3;

Result<Recurrence> recurrence(int events, double hours)
{
    const auto interval = stats::rate_interval(events, hours, confidence);
    if (!interval) return Unexpected{interval.error()};
    return Recurrence{events, hours, 1000 * events / hours, {1000 * interval->lower, 1000 * interval->upper}};
}

/// A write-up after the same one had another unit put in on that tail.
int after_change(std::span<const PastJob> jobs, const std::string& tail, const std::string& complaint)
{
    int count = 0;
    for (const PastJob& job : jobs) {
        if (job.tail != tail || job.complaint != complaint) continue;
        count += std::any_of(jobs.begin(), jobs.end(), [&](const PastJob& earlier) {
            return earlier.tail == tail && earlier.complaint == complaint && earlier.unit_removed && earlier.hours_ago > job.hours_ago;
        });
    }
    // The job in hand comes after all of them.
    count += std::any_of(jobs.begin(), jobs.end(), [&](const PastJob& j) { return j.tail == tail && j.complaint == complaint && j.unit_removed; });
    return count;
}

void removals(History& h, std::span<const PastJob> jobs, const std::string& serial)
{
    std::set<std::string> tails;
    for (const PastJob& job : jobs) {
        if (job.unit_serial != serial || !job.unit_removed || job.bench_found_fault) continue;
        ++h.removed_no_fault_found;
        tails.insert(job.tail);
    }
    h.rogue = tails.size() >= 2;
}

bool has(const Model& m, const std::string& check, const std::string& outcome)
{
    for (const Check& c : m.checks)
        if (c.id == check) return std::find(c.outcomes.begin(), c.outcomes.end(), outcome) != c.outcomes.end();
    return false;
}

} // namespace

Result<History> history(std::span<const PastJob> jobs, const std::string& tail, const std::string& serial, const std::string& complaint, const Fleet& fleet)
{
    History h;
    int here = 0, elsewhere = 0, table[2][2] = {}; // [this serial or not][this complaint or not]
    for (const PastJob& job : jobs) {
        const bool same = job.complaint == complaint;
        ++table[job.unit_serial == serial ? 0 : 1][same ? 0 : 1];
        if (same && job.tail == tail) ++here;
        if (same && job.tail != tail && job.unit_serial == serial) ++elsewhere;
        if (same && (job.tail == tail || job.unit_serial == serial)) h.jobs.push_back(job.id);
    }
    auto on_tail = recurrence(here, fleet.tail_hours), on_serial = recurrence(elsewhere, fleet.serial_elsewhere_hours);
    if (!on_tail) return Unexpected{on_tail.error()};
    if (!on_serial) return Unexpected{on_serial.error()};
    h.tail = *on_tail;
    h.serial = *on_serial;
    h.same_after_unit_change = after_change(jobs, tail, complaint);
    removals(h, jobs, serial);
    if (const auto fisher = stats::fisher_exact(table[0][0], table[0][1], table[1][0], table[1][1])) h.follows_serial_p = fisher->greater;
    return h;
}

std::vector<Evidence> history_evidence(const Model& m, const History& h, const std::string& tail_check, const std::string& serial_check)
{
    std::vector<Evidence> all;
    const auto say = [&](const std::string& check, const std::string& outcome) {
        if (has(m, check, outcome)) all.push_back({"history:" + check, check, outcome, {}, Presence::unknown, {}});
    };
    say(tail_check, h.same_after_unit_change > 0 ? "same_after_unit_change" : h.tail.events > 0 ? "same_before" : "first_time");
    say(serial_check, h.serial.events > 0 || h.rogue ? "repeats_elsewhere" : "none");
    return all;
}

void raise_places(Model& m, std::span<const std::string> places, double factor)
{
    for (Cause& c : m.causes)
        if (!c.place.empty() && std::find(places.begin(), places.end(), c.place) != places.end()) c.prior *= factor;
}

Result<Proof> proof_of_fix(double rate, double watched, int events)
{
    if (!(rate > 0) || !std::isfinite(rate)) return fail("bad_rate");
    const auto bound = stats::rate_upper_bound(events, watched, confidence);
    if (!bound) return Unexpected{bound.error()};
    Proof p;
    p.time = mean_intervals / rate;
    p.confidence = 1 - std::exp(-mean_intervals);
    p.upper_rate = *bound;
    p.fixed = events == 0 && watched >= p.time;
    return p;
}

} // namespace chockside::isolate
