#include <core/job/deferral.h>
#include <core/job/number.h>
#include <core/job/plan.h>
#include <core/job/silent.h>

#include <algorithm>
#include <span>

namespace chockside::job {

namespace {

bool stage_asked(const profile::Profile& p, const JobState& s, const std::string& stage)
{
    const auto& in = p.installation;
    const bool steps = std::all_of(in.steps.begin(), in.steps.end(), [&](const auto& step) { return step.stage != stage || s.done.contains(step.id) || left_out(s, step); });
    const bool checks = std::all_of(in.checks.begin(), in.checks.end(), [&](const auto& check) { return check.stage != stage || s.answer(check.id) != nullptr || left_out(s, check); });
    return steps && checks;
}

bool written_up(const profile::Profile& p, const JobState& s)
{
    return stage_asked(p, s, "write_up") && !s.presence.empty() && s.cautions_read;
}

bool repair_over(const profile::Profile& p, const JobState& s)
{
    if (s.repaired) return true;
    const auto* cause = profile::find(p.installation.causes, s.finding_cause);
    return s.finding_kind == "not_proven" || s.finding_kind == "none_found" || !cause || cause->repair.empty();
}

constexpr std::string_view by_check = "check:";

std::span<const Answer> since_repair(const JobState& s, const OwedState& o)
{
    return std::span(s.answers).subspan(std::min(static_cast<std::size_t>(o.answers_before), s.answers.size()));
}

bool good_again(const JobState& s, const profile::Check& check)
{
    const Answer* again = s.answer_after_repair(check.id);
    return again && is_good(check, *again);
}

bool proved(const profile::Profile& p, const JobState& s)
{
    if (s.deferral) return true;
    const bool owed = std::all_of(s.owed.begin(), s.owed.end(), [](const auto& o) { return o.closed.has_value(); });
    return owed && fix_proved(p, s) && !own_test_failed(s) && !must_defer(s);
}

} // namespace

Stage stage_of_state(const profile::Profile& p, const JobState& s)
{
    if (!written_up(p, s)) return Stage::write_up;
    if (!stage_asked(p, s, "as_found")) return Stage::as_found;
    if (!stage_asked(p, s, "make_ready")) return Stage::make_ready;
    if (!s.found) return Stage::isolate;
    if (!repair_over(p, s)) return Stage::put_right;
    if (!proved(p, s)) return Stage::prove;
    return Stage::close;
}

bool is_good(const profile::Check& check, const Answer& a)
{
    if (!a.number.empty() && check.limits) {
        const auto value = number_of(a.number);
        return value && *value >= check.limits->first && *value <= check.limits->second;
    }
    return !check.outcomes.empty() && a.outcome == check.outcomes.back();
}

namespace {

/// A number that was outside its limits is measured again, whatever the profile calls a proof; but for one whose measuring opens a plug:
/// what was just locked and seen stays so.
bool passes_again(const profile::Check& check)
{
    constexpr int opens_a_plug = 2;
    return check.proves_fix || (check.limits && check.disturbs < opens_a_plug);
}

} // namespace

std::vector<const profile::Check*> fix_checks(const profile::Profile& p, const JobState& s)
{
    std::vector<const profile::Check*> failed;
    if (!s.repaired) return failed;
    for (const auto& check : p.installation.checks) {
        const auto bad = [&](const Answer& a) { return a.check == check.id && !a.after_repair && a.outcome != not_done && !is_good(check, a); };
        if (passes_again(check) && std::any_of(s.answers.begin(), s.answers.end(), bad)) failed.push_back(&check);
    }
    return failed;
}

const profile::Check* fix_check(const profile::Profile& p, const JobState& s)
{
    const auto failed = fix_checks(p, s);
    const auto open = std::find_if(failed.begin(), failed.end(), [&](const auto* check) { return !good_again(s, *check); });
    return open != failed.end() ? *open : failed.empty() ? nullptr : failed.front();
}

bool fix_proved(const profile::Profile& p, const JobState& s)
{
    const auto failed = fix_checks(p, s);
    return std::all_of(failed.begin(), failed.end(), [&](const auto* check) { return good_again(s, *check); });
}

bool own_test_failed(const JobState& s)
{
    return s.repaired && s.self_test_ended && !s.self_test_passed;
}

const profile::Check* owed_check(const profile::Profile& p, const OwedState& o)
{
    const auto* row = profile::find(p.installation.owed, o.id);
    return row && row->prove.starts_with(by_check) ? profile::find(p.installation.checks, row->prove.substr(by_check.size())) : nullptr;
}

const Answer* owed_answer(const JobState& s, const OwedState& o, const profile::Check& check)
{
    const auto since = since_repair(s, o);
    const auto latest = std::find_if(since.rbegin(), since.rend(), [&](const Answer& a) { return a.check == check.id; });
    return latest == since.rend() ? nullptr : &*latest;
}

int owed_in_vain(const JobState& s, const OwedState& o, const profile::Check& check)
{
    const auto since = since_repair(s, o);
    return static_cast<int>(std::count_if(since.begin(), since.end(), [&](const Answer& a) { return a.check == check.id && !is_good(check, a); }));
}

std::vector<std::string> signs_needed(const profile::Profile& p, const JobState& s)
{
    std::vector<std::string> needed{"worked"};
    const bool inspect = std::any_of(p.installation.required_inspections.begin(), p.installation.required_inspections.end(), [&](const std::string& id) {
        return s.done.contains(id) || (s.repair && *s.repair == id) || std::any_of(s.owed.begin(), s.owed.end(), [&](const auto& o) { return o.id == id; });
    });
    if (inspect) needed.push_back("inspected");
    needed.push_back("released");
    return needed;
}

} // namespace chockside::job
