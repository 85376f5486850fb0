#include <core/heading/swing.h>
#include <core/job/build_view.h>
#include <core/job/detail/describe.h>
#include <core/job/detail/stage_views.h>
#include <core/job/disputes.h>
#include <core/job/open_items.h>
#include <core/job/strike.h>

#include <cstdlib>
#include <map>

namespace chockside::job {

namespace {

/// "-1.13" as read by people: true minus, and a plus.
std::string signed_words(const std::string& number)
{
    return number.starts_with('-') ? "\u2212" + number.substr(1) : "+" + number;
}

void head(const detail::Scene& x, JobView& v)
{
    v.job = x.s.job;
    v.tail = x.s.tail;
    v.aircraft_type = x.s.aircraft_type;
    v.unit_title = x.p.title.in();
    v.complaint = x.s.complaint;
    v.complaint_kind = x.s.complaint_kind;
    v.practice = x.s.practice;
    v.time_scale = static_cast<double>(x.s.scale_milli) / 1000.0;
    v.closed = x.s.closed;
    v.departure_utc_ms = x.s.departure;
    v.decide_utc_ms = x.s.decide;
    v.now_utc_ms = x.c.now.utc_ms;
    v.stage = stage_of_state(x.p, x.s);
    v.entries = static_cast<int>(x.s.entries);
    v.unsent = v.entries;
    v.presence = x.s.presence.agreed().value_or("unknown");
}

void link(const detail::Scene& x, JobView& v)
{
    const LiveFacts& live = x.c.live;
    v.link_good = live.good;
    v.link_word = !live.word.empty() ? live.word : "No link";
    v.link_detail = !live.detail.empty() ? live.detail : "not begun";
    v.link_mark = live.good ? Mark::good : live.port_open ? Mark::attention : Mark::none;
    v.live = live.lines;
}

void asked(const detail::Scene& x, JobView& v)
{
    for (const auto& check : x.p.installation.checks) {
        if (check.stage != "write_up") continue;
        const Answer* a = x.s.answer(check.id);
        v.debrief.push_back({check.id, check.title.in(), a ? detail::outcome_words(x.p, check.id, a->outcome) : ""});
    }
    for (const auto& h : x.p.installation.cautions) v.cautions.push_back({h.word, h.says.in()});
}

void journal(const detail::Scene& x, JobView& v)
{
    std::map<std::string, std::string> by;
    for (const Line& line : x.s.lines)
        if (!line.of.empty()) by[line.of] = line.text;
    const std::size_t upto = signed_upto(x.s);
    for (std::size_t i = 0; i < x.s.lines.size(); ++i) {
        const Line& line = x.s.lines[i];
        EntryLine e{line.stamp.wall, line.text, line.stamp.hash, line.amended, false, line.kind, line.stamp.person, line.corrected, {}, line.field};
        if (const auto why = by.find(e.hash); why != by.end()) e.by = why->second;
        e.signature = sign_of(x.s, line) != nullptr;
        if (const auto may = may_strike(x.s, i, upto); !may) {
            e.stands = may.error().code;
            for (const auto& [name, value] : may.error().args)
                if (name == "who") e.stands_who = value;
        }
        v.journal.push_back(std::move(e));
    }
}

void swing_fit(const detail::Scene& x, JobView& v)
{
    SwingView& sw = v.swing;
    if (static_cast<int>(sw.points.size()) < 5) return;
    std::vector<heading::SwingPoint> points;
    for (const auto& pt : sw.points) points.push_back({pt.reference_deg, pt.indicated_deg, {}});
    heading::SwingOptions options;
    options.tolerance_deg = sw.tolerance_deg;
    const auto fit = heading::fit_swing(points, options);
    if (!fit) return;
    for (const auto& term : fit->coefficients) sw.terms.push_back({std::string(1, term.name), {term.value_deg, term.se_deg}});
    for (const auto& b : fit->band) sw.band.push_back({b.heading_deg, b.value_deg, b.lower_deg, b.upper_deg});
    for (const auto& row : fit->card) sw.card.emplace_back(row.for_deg, row.steer_deg);
    for (int i : fit->outliers) sw.points[static_cast<std::size_t>(i)].outlier = true;
    const auto result = x.s.swing_result.find("result");
    if (result == x.s.swing_result.end()) return;
    sw.result = result->second;
    const auto worst = x.s.swing_result.find("worst_deg");
    const auto at = x.s.swing_result.find("worst_at_deg");
    if (worst != x.s.swing_result.end() && at != x.s.swing_result.end())
        sw.sentence = (sw.result == "pass" ? "Passes. Worst " : sw.result == "fail" ? "Fails. Worst " : "Not proven. Worst ") + signed_words(worst->second) + "\u00B0 at " + at->second + "\u00B0.";
}

} // namespace

JobView build_view(const profile::Profile& p, const JobState& s, const Context& c, const Reasoning& r)
{
    const detail::Scene x{p, s, c, r};
    JobView v;
    head(x, v);
    link(x, v);
    asked(x, v);
    journal(x, v);
    v.open = open_items(p, s);
    v.disputes = disputes(p, s);
    detail::fill_make_ready(x, v);
    detail::fill_as_found(x, v);
    detail::fill_earlier(x, v);
    detail::fill_isolate(x, v);
    detail::fill_put_right(x, v);
    detail::fill_prove(x, v);
    swing_fit(x, v);
    detail::fill_close(x, v);
    v.next = next_prompt(p, s, c, r);
    v.others = other_prompts(p, s, c, r);
    if (!c.taken.empty() && v.next.toward == c.taken) v.taken = c.taken;
    detail::fill_rail(x, v);
    v.sentence = detail::sentence(x, v);
    return v;
}

} // namespace chockside::job
