// Answers that the line gives by itself, and results that are computed from what was recorded.
#include <core/job/number.h>
#include <core/job/plan.h>
#include <core/job/sighting.h>
#include <core/job/standing.h>
#include <core/job/swing_result.h>

#include <algorithm>

namespace chockside::job {

namespace {

using How = profile::Check::How;

std::string after_colon(const std::string& reference)
{
    const auto colon = reference.find(':');
    return colon == std::string::npos ? reference : reference.substr(colon + 1);
}

json::Value answer_args(const std::string& check, const std::string& outcome)
{
    json::Value v(json::Object{});
    v.at("check") = check;
    v.at("outcome") = outcome;
    v.at("automatic") = true;
    return v;
}

/// First outcome: the abnormal one; last: the good one.
std::string pick(const profile::Check& check, bool abnormal)
{
    return abnormal ? check.outcomes.front() : check.outcomes.back();
}

/// What a unit says of its inputs while a plug is off, it says of the open plug.
bool plug_off(const JobState& s)
{
    return std::any_of(s.plugs.begin(), s.plugs.end(), [](const auto& plug) { return plug.second.perhaps("disconnected") || plug.second.unknown(); });
}

std::optional<std::string> by_self_test(const profile::Check& check, const JobState& s)
{
    if (!s.self_test_ended || plug_off(s)) return std::nullopt;
    const std::string bit = after_colon(check.from);
    const bool failed = bit == "any" ? !s.self_test_failed.empty() : std::find(s.self_test_failed.begin(), s.self_test_failed.end(), bit) != s.self_test_failed.end();
    return pick(check, failed);
}

std::optional<std::string> by_stored(const profile::Check& check, const JobState& s)
{
    if (!s.faults_read) return std::nullopt;
    const std::string id = after_colon(check.from);
    const bool there = std::any_of(s.faults.begin(), s.faults.end(), [&](const auto& f) { return f.id == id || f.code == id || (id == "any"); });
    return pick(check, there);
}

std::optional<std::string> by_page(const profile::Profile& p, const profile::Check& check, const JobState& s)
{
    const std::string name = after_colon(check.from);
    const auto dot = name.find('.');
    if (dot == std::string::npos) return std::nullopt;
    const std::string page = name.substr(0, dot), field = name.substr(dot + 1);
    const auto& from = page == "identity" ? s.identity : s.configuration;
    const auto value = from.find(field);
    if (value == from.end()) return std::nullopt;
    for (const auto& [key, allowed] : p.installation.expected)
        if (key == name || after_colon(key) == name || key == "frame:" + name)
            return pick(check, std::find(allowed.begin(), allowed.end(), value->second) == allowed.end());
    return std::nullopt;
}

std::optional<std::string> given_by_line(const profile::Profile& p, const profile::Check& check, const JobState& s)
{
    switch (check.how) {
    case How::self_test: return by_self_test(check, s);
    case How::stored_fault: return by_stored(check, s);
    case How::page: return by_page(p, check, s);
    default: return std::nullopt;
    }
}

/// A further power-up may end otherwise, and a page may be read otherwise, than was answered; what the memory said as found stands.
bool to_answer(const profile::Profile& p, const JobState& s, const profile::Check& check, const std::string& outcome)
{
    const Answer* last = s.answer(check.id);
    if (!last) return true;
    const bool otherwise = last->outcome != outcome;
    if (check.how == How::self_test) return s.power_ups > last->power_ups && (otherwise || outdated(p, s, *last));
    return check.how == How::page && otherwise;
}

std::string two(double v) { return fixed_text(v, 2); }

} // namespace

std::vector<Command> automatic_answers(const profile::Profile& p, const JobState& s, const Context&)
{
    std::vector<Command> commands;
    if (s.closed || s.found) return commands;
    for (const auto& check : p.installation.checks) {
        const auto outcome = given_by_line(p, check, s);
        if (!outcome || !to_answer(p, s, check, *outcome)) continue;
        Command command;
        command.id = "auto:" + check.id + ":" + std::to_string(s.answers.size());
        command.kind = "answer";
        command.args = answer_args(check.id, *outcome);
        commands.push_back(command);
    }
    return commands;
}

Result<Command> swing_result_command(const profile::Profile& p, const JobState& s)
{
    heading::SwingOptions options;
    if (p.installation.swing) options.tolerance_deg = p.installation.swing->tolerance_deg;
    const auto fit = heading::fit_swing(swing_points(s), options);
    if (!fit) return Unexpected{fit.error()};
    static const char* words[] = {"pass", "fail", "not_proven", "no_tolerance"};
    Command command;
    command.kind = "swing_result";
    command.args = json::Value(json::Object{});
    command.args.at("result") = words[static_cast<int>(fit->result)];
    command.args.at("worst_deg") = two(fit->worst.value_deg);
    command.args.at("worst_low_deg") = two(fit->worst.lower_deg);
    command.args.at("worst_high_deg") = two(fit->worst.upper_deg);
    command.args.at("worst_at_deg") = std::to_string(static_cast<int>(fit->worst.heading_deg + 0.5));
    if (fit->next_heading_deg) command.args.at("next_deg") = std::to_string(static_cast<int>(*fit->next_heading_deg + 0.5));
    command.args.at("sigma_deg") = two(fit->sigma_deg);
    for (const auto& term : fit->coefficients) command.args.at(std::string("term_") + term.name) = two(term.value_deg);
    command.args.at("algorithm") = "swing/1";
    return command;
}

} // namespace chockside::job
