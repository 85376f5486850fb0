#include <core/job/sighting.h>

#include <core/job/condition.h>
#include <core/job/number.h>

#include <algorithm>
#include <cmath>

namespace chockside::job {

namespace {

using profile::Condition;
using Kind = Condition::Kind;

/// "word:heading" and "heading" are one word.
std::string plain(const std::string& word) { return word.substr(word.find(':') + 1); }

bool settled(const profile::Profile& p, const Context& c)
{
    const auto& rule = p.unit.timings.settle;
    if (!rule || !p.installation.swing || plain(rule->word) != plain(p.installation.swing->word)) return true;
    const auto& told = c.live.settled;
    return !told.empty() && std::all_of(told.begin(), told.end(), [](const auto& word) { return word.second; });
}

double deviation(const SwingPointState& point)
{
    return std::abs(std::remainder(number_of(point.reference).value_or(0) - number_of(point.indicated).value_or(0), 360.0));
}

} // namespace

std::vector<heading::SwingPoint> swing_points(const JobState& s)
{
    std::vector<heading::SwingPoint> points;
    for (const auto& pt : s.swing) points.push_back({number_of(pt.reference).value_or(0), number_of(pt.indicated).value_or(0), {}});
    return points;
}

std::string sighting_waits(const profile::Profile& p, const JobState& s, const Context& c)
{
    for (const Condition& need : {Condition{Kind::power, "", "on", {}}, Condition{Kind::link, "", "", {}}, Condition{Kind::warm_up, "", "", {}}, Condition{Kind::aligned, "", "", {}}})
        if (!holds(p, s, c, need)) return words_of(p, need);
    if (c.live.moving) return "standing still";
    return settled(p, c) ? "" : "heading settled";
}

bool is_heading(const std::string& number)
{
    const auto value = number_of(number);
    return value && *value >= 0 && *value <= 360;
}

std::optional<std::size_t> doubtful_sighting(const JobState& s)
{
    for (std::size_t i = 0; i < s.swing.size(); ++i)
        if (!is_heading(s.swing[i].reference) || !is_heading(s.swing[i].indicated)) return i;
    const auto fit = heading::fit_swing(swing_points(s), {});
    std::optional<std::size_t> worst;
    if (!fit) return worst;
    for (const int at : fit->outliers) {
        const auto i = static_cast<std::size_t>(at);
        if (s.swing[i].taken == 1 && (!worst || std::abs(fit->residuals_deg[i]) > std::abs(fit->residuals_deg[*worst]))) worst = i;
    }
    return worst;
}

bool sighted_beyond(const profile::Profile& p, const JobState& s)
{
    const auto& swing = p.installation.swing;
    if (!swing || !swing->tolerance_deg) return false;
    return std::any_of(s.swing.begin(), s.swing.end(), [&](const auto& point) { return deviation(point) > *swing->tolerance_deg; });
}

} // namespace chockside::job
