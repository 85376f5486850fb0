#include <core/job/number.h>
#include <core/job/plan.h>
#include <core/job/standing.h>
#include <core/job/presence.h>
#include <core/profile/rows.h>

#include <algorithm>
#include <cmath>

namespace chockside::job {

namespace {

using How = profile::Check::How;

constexpr double more_likely = 2; ///< times likelier with the cause than without any

const profile::Cause* sound(const profile::Installation& in)
{
    const auto none = std::find_if(in.causes.begin(), in.causes.end(), [](const auto& c) { return c.cause_class == profile::CauseClass::none; });
    return none == in.causes.end() ? nullptr : &*none;
}

/// Logarithm of how likely the answer is with the cause, but for what is common to all causes.
double told(const profile::Installation& in, const profile::Check& check, const Answer& a, const profile::Cause& cause)
{
    const auto* row = a.presence == "absent" ? absent_row(in, check, cause) : profile::row_for(check.given, cause);
    if (!row) return 0;
    if (const auto number = number_of(a.number); number && row->number) {
        const auto& d = *row->number;
        const bool normal = d.kind == profile::Density::Kind::normal;
        const double z = normal ? (*number - d.a) / d.b : std::log(std::max(*number, 1e-300) / d.a) / std::log(d.b);
        return -z * z / 2 - std::log(normal ? d.b : std::log(d.b));
    }
    const auto at = std::find(check.outcomes.begin(), check.outcomes.end(), a.outcome);
    if (at == check.outcomes.end() || row->outcomes.size() != check.outcomes.size()) return 0;
    return std::log(std::max(row->outcomes[static_cast<std::size_t>(at - check.outcomes.begin())], 1e-3));
}

bool cures(const profile::Cause& cause, const PastRepair& past)
{
    return !past.repair.empty() && cause.repair == past.repair;
}

/// The unit's memory went with the unit; what the crew told of a fault that goes on stays told.
bool holds_on(const profile::Check& check, const profile::Cause& cause)
{
    return check.stage == "write_up" || (is_history(check) && cause.cause_class != profile::CauseClass::unit);
}

/// What the repair cured would show it, and a sound aircraft would not.
bool spoke_for(const profile::Installation& in, const profile::Check& check, const Answer& a, const PastRepair& past)
{
    const auto* none = sound(in);
    return a.outcome != not_done && std::any_of(in.causes.begin(), in.causes.end(), [&](const profile::Cause& cause) {
        if (!cures(cause, past) || holds_on(check, cause)) return false;
        return none ? told(in, check, a, cause) > told(in, check, a, *none) + std::log(more_likely) : !is_good(check, a);
    });
}

} // namespace

bool is_history(const profile::Check& check)
{
    return check.stage == "write_up" || check.how == How::stored_fault;
}

const profile::CheckRow* absent_row(const profile::Installation& in, const profile::Check& check, const profile::Cause& cause)
{
    if (!check.absent.empty()) return profile::row_for(check.absent, cause);
    if (cause.mode == "hard" || !needs_showing(check)) return profile::row_for(check.given, cause);
    const auto* none = sound(in);
    return profile::row_for(check.given, none ? *none : cause);
}

bool outdated(const profile::Profile& p, const JobState& s, const Answer& a)
{
    const auto* check = profile::find(p.installation.checks, a.check);
    if (!check) return false;
    const auto at = &a - s.answers.data();
    return std::any_of(s.past.begin(), s.past.end(), [&](const PastRepair& past) {
        const auto before = s.answers.begin() + past.answers_before;
        return at < past.answers_before && std::any_of(s.answers.begin(), before, [&](const Answer& b) { return b.check == a.check && spoke_for(p.installation, *check, b, past); });
    });
}

const Answer* standing(const profile::Profile& p, const JobState& s, const std::string& check)
{
    const Answer* latest = s.answer(check);
    return latest && !outdated(p, s, *latest) ? latest : nullptr;
}

int in_vain(const JobState& s, const profile::Cause& cause)
{
    const auto told = s.not_cured_by.find(cause.id);
    const auto done = std::count_if(s.past.begin(), s.past.end(), [&](const PastRepair& past) { return cures(cause, past); });
    return std::max(told == s.not_cured_by.end() ? 0 : told->second, static_cast<int>(done));
}

std::size_t answers_before_repair(const profile::Profile& p, const JobState& s, const std::string& cause)
{
    const auto* found = profile::find(p.installation.causes, cause);
    std::int64_t before = 0;
    for (const PastRepair& past : s.past)
        if (found && cures(*found, past)) before = past.answers_before;
    return static_cast<std::size_t>(before);
}

} // namespace chockside::job
