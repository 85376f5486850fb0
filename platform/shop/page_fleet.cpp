// Figures over all jobs: units that come back, rates, wiring, time to isolate; and what the bench says of a unit that came off.
#include <platform/shop/draw.h>
#include <platform/shop/site.h>

#include <cstdio>

namespace chockside::shop {

namespace {

constexpr std::size_t most_rows = 50;

std::string fixed(double v, int digits)
{
    char text[40];
    std::snprintf(text, sizeof text, "%.*f", digits, v);
    return text;
}
std::string percent(double share)
{
    return fixed(100 * share, share > 0 && share < 0.095 ? 1 : 0);
}
std::string duration(double minutes)
{
    if (minutes < 99.5) return fixed(minutes, 0) + " min";
    return minutes < 48 * 60 ? fixed(minutes / 60, 1) + " h" : fixed(minutes / 1440, 1) + " d";
}
void more(Html& h, std::size_t all)
{
    if (all > most_rows) h.element("p", {{"class", "about"}}, "The first " + std::to_string(most_rows) + " of " + std::to_string(all) + ".");
}
void none(Html& h, std::string_view words)
{
    h.element("p", {{"class", "about"}}, words);
}
std::string tail_link(const std::string& tail)
{
    return "/shop/?tail=" + percent_encoded(tail);
}
std::string said(const FleetFigures& f, const std::string& id)
{
    const auto at = f.words.find(id);
    return at == f.words.end() ? id : at->second;
}

struct Rate {
    const char *name, *of;
    const fleet::Share* share;
};

void rates_of(Html& h, const FleetFigures& f)
{
    const Rate all[] = {{"No fault found", "of units on the bench", &f.rates.no_fault_found}, {"Fault back within 30 days", "of closed jobs", &f.rates.fault_returned}, {"New unit cured nothing", "of units removed", &f.rates.not_cured},
        {"Not proven", "of findings", &f.rates.not_proven}};
    std::vector<IntervalMark> marks;
    for (const Rate& r : all)
        if (r.share->interval) marks.push_back({r.name, static_cast<double>(r.share->of) / r.share->all, r.share->interval->lower, r.share->interval->upper});
    h.markup("<section class=\"paper\" id=\"rates\"><h2>Rates, with 95 % intervals</h2>").add(interval_plot("Rates with their intervals", marks));
    h.markup("<div class=\"scroll\"><table><thead><tr><th>Rate</th><th class=\"right\">Count</th><th class=\"right\">Share</th><th class=\"right\">95 % interval</th></tr></thead><tbody>");
    for (const Rate& r : all) {
        h.markup("<tr><td data-label=\"Rate\">").element("strong", r.name).text(std::string(" ") + r.of).markup("</td><td data-label=\"Count\" class=\"n right\">").text(std::to_string(r.share->of) + " of " + std::to_string(r.share->all));
        h.markup("</td><td data-label=\"Share\" class=\"n right\">").text(r.share->all ? percent(static_cast<double>(r.share->of) / r.share->all) + " %" : "-").markup("</td><td data-label=\"95 % interval\" class=\"n right\">");
        h.text(r.share->interval ? percent(r.share->interval->lower) + " to " + percent(r.share->interval->upper) + " %" : "-").markup("</td></tr>");
    }
    h.markup("</tbody></table></div><p class=\"about\">Exact intervals (Clopper and Pearson). Few jobs make wide ones: an interval that reaches far says nothing yet.</p></section>");
}

void units_back(Html& h, const FleetFigures& f)
{
    h.markup("<section id=\"units\"><h2>Units that come back</h2>");
    std::vector<const fleet::UnitHistory*> rows;
    for (const bool suspect : {true, false})
        for (const auto& u : f.units)
            if (u.suspect() == suspect && (suspect || u.removals >= 2 || u.no_fault_found + u.returned + u.not_cured > 0)) rows.push_back(&u);
    if (rows.empty()) return none(h, "No unit came off twice, and none without a fault that was found."), void(h.markup("</section>"));
    h.markup("<div class=\"scroll\"><table><thead><tr><th>Unit</th><th>Serial</th><th class=\"right\">Removed</th><th class=\"right\">No fault found</th><th class=\"right\">Fault back</th><th class=\"right\">Cured nothing</th><th>Aircraft</th><th>State</th></tr></thead><tbody>");
    for (std::size_t i = 0; i < rows.size() && i < most_rows; ++i) {
        const auto& u = *rows[i];
        h.markup("<tr><td data-label=\"Unit\" class=\"tail\">").text(u.number).markup("</td><td data-label=\"Serial\" class=\"n\">").element("a", {{"href", "/shop/jobs/" + percent_encoded(u.jobs.back())}}, u.serial);
        h.markup("</td><td data-label=\"Removed\" class=\"n right\">").text(std::to_string(u.removals)).markup("</td><td data-label=\"No fault found\" class=\"n right\">").text(std::to_string(u.no_fault_found) + " of " + std::to_string(u.benched));
        h.markup("</td><td data-label=\"Fault back\" class=\"n right\">").text(std::to_string(u.returned)).markup("</td><td data-label=\"Cured nothing\" class=\"n right\">").text(std::to_string(u.not_cured)).markup("</td><td data-label=\"Aircraft\">");
        for (std::size_t t = 0; t < u.tails.size() && t < 6; ++t) h.text(t ? ", " : "").element("a", {{"href", tail_link(u.tails[t])}}, u.tails[t]);
        if (u.tails.size() > 6) h.text(" and " + std::to_string(u.tails.size() - 6) + " more");
        h.markup("</td><td data-label=\"State\" class=\"state\">").add(mark(u.suspect() ? "attn" : "run")).text(u.suspect() ? "comes back" : "watch").markup("</td></tr>");
    }
    h.markup("</tbody></table></div>");
    more(h, rows.size());
    h.markup("<p class=\"about\">Comes back: removed twice or more, and twice or more no fault was found on the bench, the fault was back within 30 days, or the change cured nothing.</p></section>");
}

void wiring_table(Html& h, const FleetFigures& f, const std::vector<fleet::WiringCause>& rows, bool by_aircraft)
{
    h.markup("<div class=\"scroll\"><table><thead><tr>");
    if (by_aircraft) h.markup("<th>Aircraft</th>");
    h.markup("<th>Segment</th><th>Cause</th><th class=\"right\">Jobs</th></tr></thead><tbody>");
    for (std::size_t i = 0; i < rows.size() && i < most_rows; ++i) {
        h.markup("<tr>");
        if (by_aircraft) h.markup("<td data-label=\"Aircraft\" class=\"tail\">").element("a", {{"href", tail_link(rows[i].tail)}}, rows[i].tail).markup("</td>");
        h.markup("<td data-label=\"Segment\">").text(rows[i].place.empty() ? "-" : said(f, rows[i].place)).markup("</td><td data-label=\"Cause\">").text(said(f, rows[i].cause)).markup("</td><td data-label=\"Jobs\" class=\"n right\">");
        h.text(std::to_string(rows[i].jobs)).markup("</td></tr>");
    }
    h.markup("</tbody></table></div>");
    more(h, rows.size());
}

void wiring(Html& h, const FleetFigures& f)
{
    h.markup("<section id=\"wiring\"><h2>Most frequent wiring and contact causes</h2>");
    if (f.by_segment.empty()) return none(h, "No finding was wiring or a contact."), void(h.markup("</section>"));
    h.markup("<div class=\"two\"><div><h3>By segment</h3>");
    wiring_table(h, f, f.by_segment, false);
    h.markup("</div><div><h3>By aircraft</h3>");
    wiring_table(h, f, f.by_aircraft, true);
    h.markup("</div></div></section>");
}

void time(Html& h, const FleetFigures& f)
{
    const auto& t = f.time;
    h.markup("<section id=\"time\"><h2>Time to isolate</h2>");
    if (t.jobs == 0) return none(h, "No job has a finding yet."), void(h.markup("</section>"));
    h.markup("<div class=\"scroll\"><table><thead><tr><th class=\"right\">Jobs with a finding</th><th class=\"right\">Median</th><th class=\"right\">95 % interval</th><th class=\"right\">Middle half</th></tr></thead><tbody><tr><td data-label=\"Jobs\" class=\"n right\">");
    h.text(std::to_string(t.jobs)).markup("</td><td data-label=\"Median\" class=\"n right\">").element("strong", duration(t.median_min)).markup("</td><td data-label=\"95 % interval\" class=\"n right\">");
    h.text(t.median_interval ? duration(t.median_interval->lower) + " to " + duration(t.median_interval->upper) : "too few jobs").markup("</td><td data-label=\"Middle half\" class=\"n right\">");
    h.text(duration(t.lower_quartile_min) + " to " + duration(t.upper_quartile_min)).markup("</td></tr></tbody></table></div><p class=\"about\">From a job's first entry to its finding, by the tablets' clocks.</p></section>");
}

void aircraft_rates(Html& h, const FleetFigures& f)
{
    h.markup("<section id=\"per-aircraft\"><h2>Jobs by aircraft</h2><div class=\"scroll\"><table><thead><tr><th>Aircraft</th><th class=\"right\">Jobs</th><th class=\"right\">Days</th><th class=\"right\">Jobs in 30 days</th><th class=\"right\">95 % interval</th></tr></thead><tbody>");
    for (std::size_t i = 0; i < f.rates.aircraft.size() && i < most_rows; ++i) {
        const auto& a = f.rates.aircraft[i];
        h.markup("<tr><td data-label=\"Aircraft\" class=\"tail\">").element("a", {{"href", tail_link(a.tail)}}, a.tail.empty() ? "-" : a.tail).markup("</td><td data-label=\"Jobs\" class=\"n right\">").text(std::to_string(a.jobs));
        h.markup("</td><td data-label=\"Days\" class=\"n right\">").text(fixed(a.days, 0)).markup("</td><td data-label=\"In 30 days\" class=\"n right\">").text(a.per_30_days ? fixed(a.jobs / (a.days / 30), 1) : "-");
        h.markup("</td><td data-label=\"95 % interval\" class=\"n right\">").text(a.per_30_days ? fixed(a.per_30_days->lower, 1) + " to " + fixed(a.per_30_days->upper, 1) : "-").markup("</td></tr>");
    }
    h.markup("</tbody></table></div>");
    more(h, f.rates.aircraft.size());
    h.markup("</section>");
}

} // namespace

Response Site::fleet(const Visit& v)
{
    const bool practice = v.request.value("of") == "practice";
    Connection* c = v.reader.ledger.connection();
    auto known = c ? book_.fleet().figures(*c, practice) : Result<std::shared_ptr<const FleetFigures>>(fail("gone"));
    if (!known) return plain(503);
    const FleetFigures& f = **known;
    int back = 0;
    for (const auto& u : f.units) back += u.suspect();
    Html h;
    h.markup("<p class=\"tools\">").element("a", {{"class", "key"}, {"href", practice ? "/shop/fleet" : "/shop/fleet?of=practice"}}, practice ? "Real jobs" : "Practice jobs").markup("</p>");
    if (f.jobs == 0) {
        none(h, practice ? "No practice job has come yet." : "No job has come yet.");
    } else {
        rates_of(h, f);
        units_back(h, f);
        wiring(h, f);
        time(h, f);
        aircraft_rates(h, f);
    }
    const std::string title = std::to_string(f.jobs) + (f.jobs == 1 ? " job. " : " jobs. ") + (back == 0 ? "No unit comes back." : back == 1 ? "One unit comes back." : std::to_string(back) + " units come back.");
    return frame(&v.session, title, "Fleet", h, practice);
}

void bench_form(Html& h, const Opened& o, const PageSession& session, const std::string& job)
{
    std::vector<job::Part> off;
    for (const auto& past : o.state.past)
        if (past.off) off.push_back(*past.off);
    if (o.state.off) off.push_back(*o.state.off);
    if (off.empty()) return;
    h.open("form", {{"class", "reply bench"}, {"method", "post"}, {"action", "/shop/jobs/" + percent_encoded(job) + "/bench"}});
    form_token(h, session);
    h.markup("<label>Unit on the bench <select name=\"serial\">");
    for (const auto& part : off) h.element("option", {{"value", part.serial}}, part.number + " " + part.serial);
    h.markup("</select></label><label>Fault found <select name=\"fault_found\"><option>no</option><option>yes</option></select></label><label class=\"hidden\" for=\"bench\">What the bench saw</label>");
    h.open("input", {{"id", "bench"}, {"name", "text"}, {"maxlength", "2000"}, {"placeholder", "What the bench saw"}}).element("button", {{"class", "key write"}}, "Record bench result").close("form");
}

Response Site::bench(const Visit& v)
{
    Connection* c = v.reader.ledger.connection();
    auto o = c ? book_.open(*c, v.parts[1], false) : Result<std::shared_ptr<const Opened>>(fail("gone"));
    if (!o) return plain(o.error().code == "not_found" ? 404 : 503);
    const std::string serial = v.field("serial"), found = v.field("fault_found"), text = v.field("text");
    std::optional<job::Part> off;
    for (const auto& past : (*o)->state.past)
        if (past.off && past.off->serial == serial) off = past.off;
    if ((*o)->state.off && (*o)->state.off->serial == serial) off = (*o)->state.off;
    if (!off || (found != "yes" && found != "no") || text.size() > 8000 || !is_utf8(text)) return plain(400);
    journal::Draft draft{"benched", 1, json::Object{{"number", off->number}, {"serial", off->serial}, {"fault_found", found == "yes"}, {"text", text}}, {}, v.session.account.name, {}};
    return tell_all(v, **o, draft);
}

} // namespace chockside::shop
