// A swing, prompt by prompt: sighted heading by heading, worked out, and a heading that stands out sighted again.
#include <core/job/detail/prompts.h>
#include <core/job/number.h>
#include <core/job/sighting.h>

#include <cmath>

namespace chockside::job::detail {

namespace {

using Kind = profile::Condition::Kind;
using profile::Condition;

std::string figures(int heading) { return std::to_string(1000 + heading).substr(1) + "\u00B0"; }

int wanted_of(const Moment& m) { return m.p.installation.swing ? m.p.installation.swing->headings : 8; }

/// Turned to the heading, at rest, settled, sighted.
Prompt sight(const Moment& m, const std::string& id, int to, const std::string& key)
{
    for (const Condition& need : {Condition{Kind::power, "", "on", {}}, Condition{Kind::link, "", "", {}}, Condition{Kind::warm_up, "", "", {}}})
        if (!holds(m.p, m.s, m.c, need)) return meet(m, need);
    Prompt q = simple(m, Prompt::Kind::swing_point, id, "Turn to " + figures(to) + ", chock, let it settle. Sight it.", key, "swing_point");
    q.verb = "turn";
    q.label = "aircraft";
    q.to = std::to_string(to);
    q.unit = "deg";
    q.meter = "degrees";
    q.limits = std::pair{0.0, 360.0};
    q.missing = sighting_waits(m.p, m.s, m.c);
    q.ready = q.missing.empty();
    q.key_small.clear();
    label_key(m, q);
    return q;
}

Prompt next_sight(const Moment& m, double heading)
{
    const int have = static_cast<int>(m.s.swing.size()), wanted = wanted_of(m);
    const std::string count = have < wanted ? " of " + std::to_string(wanted) : ", added";
    return sight(m, "swing:" + std::to_string(have + 1), static_cast<int>(std::lround(heading)) % 360, "Point " + std::to_string(have + 1) + count);
}

/// The heading that a point was turned to; where nobody knows, what it reads.
int heading_of(const Moment& m, std::size_t point)
{
    const int wanted = wanted_of(m), at = static_cast<int>(point);
    const auto& taken = m.s.swing[point];
    const double heading = at < wanted ? 360.0 * at / wanted : number_of(is_heading(taken.reference) ? taken.reference : taken.indicated).value_or(0);
    return static_cast<int>(std::lround(heading)) % 360;
}

Prompt retake(const Moment& m, std::size_t point)
{
    const std::string n = std::to_string(point + 1);
    Prompt q = sight(m, "swing:retake:" + n, heading_of(m, point), "Point " + n + " again");
    if (q.command != "swing_point") return q;
    q.args.at("point") = static_cast<std::int64_t>(point + 1);
    q.detail = "It was sighted as " + m.s.swing[point].reference + "\u00B0, and read " + m.s.swing[point].indicated + "\u00B0.";
    return q;
}

Prompt again_prompt(const Moment& m, const std::string& result)
{
    const std::string why = result == "fail" ? "Outside tolerance." : "Not proven.";
    json::Value args(json::Object{});
    for (const auto& [key, value] : {std::pair{"verb", "swing_again"}, {"of", "swing"}, {"words", "corrected by the manual, swing again"}}) args.at(key) = value;
    Prompt q = simple(m, Prompt::Kind::act, "swing:again", why + " Correct by the manual, swing again.", "Corrected: swing again", "did", std::move(args));
    q.verb = "correct";
    q.label = "swing";
    q.hold = true;
    q.key_small.clear();
    label_key(m, q);
    return q;
}

Prompt accept_prompt(const Moment& m, const std::string& owed, const std::string& result)
{
    json::Value args(json::Object{});
    args.at("owed") = owed;
    args.at("result") = "swing " + result;
    args.at("words") = "swing, " + result;
    Prompt q = simple(m, Prompt::Kind::act, "owed:" + owed, "Swing: " + result + ". Fit the card.", "Accept swing, write card", "owed", std::move(args));
    q.verb = "accept";
    q.ready = result == "pass";
    if (!q.ready) {
        q.missing = "a swing that passes";
        q.key_small.clear();
        label_key(m, q);
    }
    return q;
}

} // namespace

Prompt swing_prompt(const Moment& m, const std::string& owed)
{
    const int wanted = wanted_of(m), have = static_cast<int>(m.s.swing.size());
    if (have < wanted) return next_sight(m, 360.0 * have / wanted);
    const auto doubtful = doubtful_sighting(m.s);
    const auto told = m.s.swing_result.find("result");
    if (told == m.s.swing_result.end()) {
        if (doubtful && !(is_heading(m.s.swing[*doubtful].reference) && is_heading(m.s.swing[*doubtful].indicated))) return retake(m, *doubtful);
        Prompt q = simple(m, Prompt::Kind::act, "swing:result", "Work out the swing.", "Work out the swing", "swing_result");
        q.verb = "compute";
        return q;
    }
    const std::string& result = told->second;
    if (result != "fail" && result != "not_proven") return accept_prompt(m, owed, result);
    if (doubtful) return retake(m, *doubtful);
    const auto next = m.s.swing_result.find("next_deg");
    const bool more_may_prove = result == "not_proven" && next != m.s.swing_result.end() && have < 2 * wanted && !sighted_beyond(m.p, m.s);
    return more_may_prove ? next_sight(m, number_of(next->second).value_or(0)) : again_prompt(m, result);
}

std::vector<Prompt> swing_others(const Moment& m)
{
    std::vector<Prompt> others;
    if (static_cast<int>(m.s.swing.size()) < wanted_of(m)) return others;
    const auto told = m.s.swing_result.find("result");
    if (told != m.s.swing_result.end() && (told->second == "fail" || told->second == "not_proven")) others.push_back(again_prompt(m, told->second));
    for (std::size_t i = 0; i < m.s.swing.size(); ++i) others.push_back(retake(m, i));
    return others;
}

} // namespace chockside::job::detail
