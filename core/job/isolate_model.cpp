#include <core/job/condition.h>
#include <core/job/isolate_model.h>
#include <core/job/number.h>
#include <core/job/standing.h>
#include <core/job/unlisted.h>
#include <core/profile/rows.h>

#include <algorithm>
#include <cmath>
#include <functional>

namespace chockside::job {

namespace {

using profile::CheckRow;
using profile::row_for;

isolate::Row plain(const CheckRow* row, std::size_t outcomes)
{
    isolate::Row plain_row;
    if (!row || (!row->number && row->outcomes.size() != outcomes)) {
        plain_row.outcomes.assign(outcomes, outcomes ? 1.0 / static_cast<double>(outcomes) : 0.0);
        return plain_row;
    }
    plain_row.outcomes = row->outcomes;
    if (row->number) {
        const auto kind = row->number->kind == profile::Density::Kind::normal ? isolate::Density::Kind::normal : isolate::Density::Kind::lognormal;
        plain_row.number = isolate::Density{kind, row->number->a, row->number->b};
    }
    return plain_row;
}

bool asks(const profile::Condition& c, profile::Condition::Kind kind, const std::string& is)
{
    if (c.kind == kind && (is.empty() || c.is == is)) return true;
    return std::any_of(c.parts.begin(), c.parts.end(), [&](const auto& part) { return c.kind != profile::Condition::Kind::not_ && asks(part, kind, is); });
}

void add_answered(const profile::Condition& c, std::vector<std::string>& checks)
{
    if (c.kind == profile::Condition::Kind::answered) checks.push_back(c.of);
    for (const auto& part : c.parts) add_answered(part, checks);
}

/// Rows of two causes together, by index; names that the lint refused are left out.
void add_pairs(isolate::Check& c, const profile::Check& check, const std::vector<profile::Cause>& causes)
{
    const auto index = [&](const std::string& id) {
        const auto found = std::find_if(causes.begin(), causes.end(), [&](const auto& cause) { return cause.id == id; });
        return static_cast<std::size_t>(found - causes.begin());
    };
    for (const auto& [both, outcomes] : check.together) {
        const auto plus = both.find('+');
        const std::size_t a = index(both.substr(0, plus)), b = plus == std::string::npos ? causes.size() : index(both.substr(plus + 1));
        if (a != b && std::max(a, b) < causes.size() && outcomes.size() == check.outcomes.size()) c.together[std::minmax(a, b)] = outcomes;
    }
}

isolate::Check plain_check(const profile::Installation& in, const profile::Check& check)
{
    using Kind = profile::Condition::Kind;
    isolate::Check c;
    c.id = check.id;
    c.outcomes = check.outcomes;
    for (const auto& cause : in.causes) {
        c.given.push_back(plain(row_for(check.given, cause), check.outcomes.size()));
        c.absent.push_back(plain(absent_row(in, check, cause), check.outcomes.size()));
    }
    c.minutes = check.minutes;
    c.panel = check.panel;
    if (const auto* panel = profile::find(in.panels, check.panel)) c.access_minutes = panel->minutes;
    c.needs_power_on = asks(check.needs, Kind::power, "on") || asks(check.needs, Kind::link, "") || asks(check.needs, Kind::session, "");
    c.needs_power_off = asks(check.needs, Kind::power, "off") || asks(check.needs, Kind::plug, "disconnected") || asks(check.needs, Kind::dead, "");
    c.needs_warm = asks(check.needs, Kind::warm_up, "");
    add_answered(check.needs, c.after);
    c.people = check.people;
    c.disturbs = check.disturbs;
    c.disturbs_at = check.disturbs_at;
    c.lasting = check.lasting;
    c.group = check.group;
    c.tools = check.tools;
    using How = profile::Check::How;
    add_pairs(c, check, in.causes);
    c.automatic = check.how == How::self_test || check.how == How::stored_fault || check.how == How::word_number || check.how == How::page;
    return c;
}

constexpr double least_worth = 0.2; // minutes saved per minute, below which a search ends: a deferral is dearer than that
constexpr double repaired_in_vain = 0.02; // a repair may itself have been done badly

double weight(const profile::Cause& cause, const std::string& complaint)
{
    const auto by = cause.weight_by_complaint.find(complaint);
    return by == cause.weight_by_complaint.end() ? cause.weight : by->second;
}

} // namespace

isolate::Model isolate_model(const profile::Profile& p, const std::string& complaint_kind)
{
    // A cause that cannot lie behind this write-up keeps a thousandth of a weight: nothing is impossible, a crew may have written the wrong thing.
    constexpr double least = 1e-3;
    isolate::Model model;
    double sum = 0;
    for (const auto& cause : p.installation.causes) sum += std::max(weight(cause, complaint_kind), least);
    for (const auto& cause : p.installation.causes)
        model.causes.push_back({cause.id, profile::name_of(cause.cause_class), cause.at, std::max(weight(cause, complaint_kind), least) / sum, cause.mode});
    for (const auto& check : p.installation.checks) model.checks.push_back(plain_check(p.installation, check));
    open_list(model, p.installation);
    model.pair_share = p.installation.decision.pair_odds;
    return model;
}

std::vector<isolate::Gate> isolate_gates(const profile::Profile& p, const std::string& complaint_kind)
{
    std::vector<isolate::Gate> gates;
    for (const auto& g : p.installation.gates)
        if (g.complaints.empty() || std::find(g.complaints.begin(), g.complaints.end(), complaint_kind) != g.complaints.end()) gates.push_back({g.id, g.needs, g.is, g.within, g.any, g.before, g.ways});
    return gates;
}

isolate::Presence presence_of(const JobState& s)
{
    if (s.presence.certainly("showing")) return isolate::Presence::showing;
    if (s.presence.certainly("absent")) return isolate::Presence::absent;
    return isolate::Presence::unknown;
}

std::optional<isolate::Evidence> evidence_of(const Answer& a, std::size_t index)
{
    const auto number = number_of(a.number);
    // A text that is no number, from before the guard refused one, says nothing; the rest of the evidence still does.
    if (a.outcome == not_done || (!a.number.empty() && !number)) return std::nullopt;
    isolate::Evidence e;
    e.id = a.stamp.hash.empty() ? a.check + std::to_string(index) : a.stamp.hash;
    e.check = a.check;
    e.outcome = a.outcome;
    e.number = number;
    e.presence = a.presence == "showing" ? isolate::Presence::showing : a.presence == "absent" ? isolate::Presence::absent : isolate::Presence::unknown;
    e.disturbed_before.assign(a.disturbed.begin(), a.disturbed.end());
    return e;
}

std::vector<isolate::Evidence> isolate_evidence(const profile::Profile& p, const JobState& s, std::size_t from)
{
    std::vector<isolate::Evidence> all;
    for (std::size_t i = 0; i < s.answers.size(); ++i) {
        const Answer& a = s.answers[i];
        const auto* check = profile::find(p.installation.checks, a.check);
        if (a.after_repair || (i < from && !(check && is_history(*check))) || outdated(p, s, a)) continue;
        if (auto e = evidence_of(a, i)) all.push_back(std::move(*e));
    }
    return all;
}

isolate::Situation situation(const profile::Profile& p, const JobState& s, const Context& c)
{
    isolate::Situation now;
    now.power_on = s.power.certainly("on");
    now.warm = waits(p, s, c).warm_up.state == WaitView::State::over;
    for (const auto& [id, reg] : s.panels)
        if (reg.certainly("open")) now.open_panels.insert(id);
    now.people = 3;
    now.minutes_left = s.departure > c.now.utc_ms ? static_cast<double>(s.departure - c.now.utc_ms) / 60000.0 : 600;
    for (const Answer& a : s.answers)
        if (standing(p, s, a.check)) now.answered.insert(a.check);
    return now;
}

isolate::Costs costs(const profile::Profile& p, const JobState& s)
{
    const auto& d = p.installation.decision;
    const auto* complaint = profile::find(p.installation.complaints, s.complaint_kind);
    isolate::Costs c;
    c.wrong_removal = d.wrong_removal_min;
    c.missed = d.missed_min;
    c.misleading = complaint && complaint->misleading ? d.misleading_min : 0;
    c.deferral = d.deferral_min;
    return c;
}

Reasoning reason(const profile::Profile& p, const JobState& s, const Context& c)
{
    Reasoning r;
    isolate::Model model = isolate_model(p, s.complaint_kind);
    for (auto& cause : model.causes)
        if (const auto* listed = profile::find(p.installation.causes, cause.id)) cause.prior *= std::pow(repaired_in_vain, in_vain(s, *listed));
    const auto evidence = isolate_evidence(p, s);
    auto reasoner = isolate::Reasoner::make(std::move(model));
    if (!reasoner) return r;
    for (const auto& e : evidence)
        if (!reasoner->add(e)) return r;
    constexpr std::size_t checks = 8, turns = 3;
    r.posterior = reasoner->posterior();
    const auto plan = isolate::plan(*reasoner, situation(p, s, c), costs(p, s), presence_of(s), checks);
    for (const auto& n : plan.checks)
        if (n.worth >= least_worth) r.next.push_back(n);
    const bool ends = r.next.empty();
    // A second part in the same place needs gates that were met since the first.
    r.gates_from = r.posterior.remedies.empty() ? 0 : answers_before_repair(p, s, r.posterior.remedies.front().cause);
    r.advice = isolate::advise(reasoner->model(), r.posterior, isolate_evidence(p, s, r.gates_from), isolate_gates(p, s.complaint_kind), p.installation.decision.threshold, ends);
    std::vector<std::string> places;
    for (const auto& place : p.installation.places) places.push_back(place.id);
    r.why = isolate::explain(*reasoner, r.posterior, places, presence_of(s), turns);
    r.unexplained = isolate::unexplained(*reasoner);
    r.known = true;
    return r;
}

} // namespace chockside::job
