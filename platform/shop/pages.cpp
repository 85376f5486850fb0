// The frame of every page, and the list of jobs.
#include <platform/shop/draw.h>
#include <platform/shop/site.h>

#include <algorithm>

namespace chockside::shop {

Response Site::frame(const PageSession* session, std::string_view title, std::string_view tab, const Html& inside, bool practice, int status) const
{
    struct Tab {
        Literal path, name;
        Role least;
    };
    static const Tab tabs[] = {{"/shop/", "Jobs", Role::reader}, {"/shop/aircraft", "Aircraft", Role::reader}, {"/shop/units", "Units", Role::reader}, {"/shop/fleet", "Fleet", Role::reader}, {"/shop/tablets", "Tablets", Role::reader},
        {"/shop/profiles", "Profiles", Role::reader}, {"/shop/people", "People", Role::keeper}};
    Html h;
    h.markup("<!DOCTYPE html><html lang=\"en\"><head><meta charset=\"utf-8\"><meta name=\"viewport\" content=\"width=device-width, initial-scale=1\"><meta name=\"color-scheme\" content=\"light\"><title>");
    h.text(title).markup(" - Chockside</title><link rel=\"stylesheet\" href=\"/shop/style.css\"><script src=\"/shop/script.js\" defer></script></head><body><a class=\"skip\" href=\"#main\">To the content</a><header>");
    h.markup("<div class=\"brand\">Chockside");
    if (practice) h.markup(" <span class=\"framed\">PRACTICE</span>");
    h.markup("</div>");
    if (session) {
        h.markup("<nav aria-label=\"Pages\">");
        for (const Tab& t : tabs) {
            if (session->account.role < t.least) continue;
            const bool here = t.name.view() == tab;
            h.open("a", {{"href", std::string(t.path.view())}, {"class", here ? "here" : "tab"}, {"aria-current", here ? "page" : "false"}}).text(t.name.view()).close("a");
        }
        h.markup("</nav><div class=\"who\">").text(settings_.shop_name).markup("</div>");
        h.markup("<form class=\"out\" method=\"post\" action=\"/shop/logout\">");
        form_token(h, *session);
        h.open("button", {{"class", "plain"}}).text("Log out " + session->account.name).close("button").markup("</form>");
    }
    const std::string time = to_hms(clock_.now().utc_ms).substr(0, 5);
    h.markup("<div class=\"clock\"><span id=\"clock\" class=\"n\">").text(time).markup("</span> UTC</div></header>");
    if (practice) h.markup("<div class=\"slashes\" aria-hidden=\"true\"></div>");
    h.open("main", {{"id", "main"}, {"tabindex", "-1"}}).element("h1", title).add(inside).close("main");
    h.markup("<footer>Chockside records; it does not approve. Approved data, local rules and licensed practice decide.</footer></body></html>");
    Response r;
    r.status = status;
    r.body = h.take();
    r.set("Content-Type", "text/html; charset=utf-8").set("Cache-Control", "no-store");
    return std::move(guarded(r));
}

namespace {

constexpr std::size_t page_rows = 50, page_tails = 25, page_parts = 200;

std::size_t from_of(const Visit& v)
{
    return static_cast<std::size_t>(std::clamp(std::atoll(v.request.value("from").c_str()), 0LL, 1'000'000LL));
}

/// The way to the rows before and after; `asked` is a query that ends in "from=".
void pages_of(Html& h, const std::string& asked, std::size_t from, std::size_t rows, bool more, std::string_view before, std::string_view after)
{
    h.markup("<p class=\"pages\">");
    if (from > 0) h.element("a", {{"href", asked + std::to_string(from > rows ? from - rows : 0)}}, before).text(" ");
    if (more) h.element("a", {{"href", asked + std::to_string(from + rows)}}, after);
    h.markup("</p>");
}

std::string when(std::int64_t utc_ms, std::int64_t now_ms)
{
    if (utc_ms <= 0) return "-";
    return to_date(utc_ms) == to_date(now_ms) ? to_hms(utc_ms).substr(0, 5) : to_date(utc_ms);
}

std::string headline(const std::vector<JobRow>& rows)
{
    std::size_t run = 0, asks = 0;
    for (const auto& r : rows) run += !r.closed, asks += r.asks;
    if (rows.empty()) return "No jobs here yet.";
    std::string text = run == 0 ? "No job runs." : run == 1 ? "One job runs." : std::to_string(run) + " jobs run.";
    if (asks) text += asks == 1 ? " One asks you." : " " + std::to_string(asks) + " ask you.";
    return text;
}

void job_line(Html& h, const JobRow& r, std::int64_t now)
{
    h.markup("<tr><td data-label=\"Aircraft\" class=\"tail\">").text(r.tail).markup("</td><td data-label=\"Write-up\">");
    h.element("a", {{"href", "/shop/jobs/" + percent_encoded(r.job)}}, r.title.empty() ? r.job : r.title);
    if (r.practice) h.markup(" <span class=\"framed small\">PRACTICE</span>");
    h.markup("</td><td data-label=\"Unit\" class=\"n\">").text(r.unit).markup("</td><td data-label=\"Write-up to Close\">").add(rail(r.rail, false)).markup("</td><td data-label=\"State\" class=\"state\">");
    h.add(mark(r.mark)).text(r.state);
    if (!r.whole) h.markup(" <strong>chain broken</strong>");
    h.markup("</td><td data-label=\"By\">").text(r.by).markup("</td><td data-label=\"Last entry\" class=\"n right\">").text(when(r.changed, now)).markup("</td></tr>");
}

} // namespace

Response Site::jobs(const Visit& v)
{
    Connection* c = v.reader.ledger.connection();
    if (!c) return plain(503);
    std::string search = v.request.value("q"), tail = v.request.value("tail");
    if (!is_utf8(search) || search.find('\0') != std::string::npos) search.clear();
    if (!is_utf8(tail) || tail.find('\0') != std::string::npos) tail.clear();
    const auto from = from_of(v);
    auto rows = book_.jobs(*c, search.substr(0, 200), tail, from, page_rows + 1);
    if (!rows) return plain(503);
    const bool more = rows->size() > page_rows;
    if (more) rows->pop_back();
    bool practice = false;
    for (const auto& r : *rows) practice = practice || r.practice;
    Html h;
    h.markup("<form class=\"tools\" method=\"get\" action=\"/shop/\" role=\"search\"><label class=\"hidden\" for=\"q\">Search</label>");
    h.open("input", {{"id", "q"}, {"name", "q"}, {"value", search}, {"placeholder", "Search tail, unit, write-up"}, {"type", "search"}}).element("button", {{"class", "key"}}, "Search");
    if (v.session.account.role >= Role::lead) h.element("a", {{"class", "key write"}, {"href", "/shop/assign"}}, "Assign a write-up");
    h.markup("</form><div class=\"scroll\"><table><thead><tr><th>Aircraft</th><th>Write-up</th><th>Unit</th><th>Write-up to Close</th><th>State</th><th>By</th><th class=\"right\">Last entry</th></tr></thead><tbody>");
    for (const auto& r : *rows) job_line(h, r, clock_.now().utc_ms);
    h.markup("</tbody></table></div>");
    pages_of(h, "?q=" + percent_encoded(search) + "&tail=" + percent_encoded(tail) + "&from=", from, page_rows, more, "Newer", "Older");
    return frame(&v.session, headline(*rows), "Jobs", h, practice);
}

Response Site::aircraft(const Visit& v)
{
    Connection* c = v.reader.ledger.connection();
    const auto from = from_of(v);
    auto tails = c ? book_.tails(*c, from, page_tails + 1) : Result<std::vector<std::string>>(fail("gone"));
    if (!tails) return plain(503);
    const bool more = tails->size() > page_tails;
    if (more) tails->pop_back();
    Html h;
    bool practice = false;
    for (const auto& tail : *tails) {
        if (tail.empty()) continue; // assigned, and nobody has begun
        auto rows = book_.jobs(*c, {}, tail, 0, 200);
        auto parts = book_.parts(*c, tail, 0, 200);
        if (!rows || !parts) return plain(503);
        h.markup("<section class=\"life\">").open("h2", {}).element("a", {{"href", "/shop/?tail=" + percent_encoded(tail)}}, tail).close("h2");
        std::vector<LifeMark> marks;
        for (const auto& r : *rows) {
            marks.push_back({r.changed, r.title, false});
            practice = practice || r.practice;
        }
        for (const auto& p : *parts)
            if (!p.on_serial.empty()) marks.push_back({p.at, p.off_number + " " + p.off_serial + " off, " + p.on_serial + " on", true});
        h.add(life_line(marks, clock_.now().utc_ms));
        h.markup("<ul>");
        for (std::size_t i = 0; i < rows->size() && i < 8; ++i)
            h.markup("<li>").add(mark((*rows)[i].mark)).element("a", {{"href", "/shop/jobs/" + percent_encoded((*rows)[i].job)}}, (*rows)[i].title).text(" " + (*rows)[i].state + ", " + to_date((*rows)[i].changed)).markup("</li>");
        h.markup("</ul></section>");
    }
    pages_of(h, "?from=", from, page_tails, more, "Aircraft before", "Aircraft after");
    if (tails->empty()) h.element("p", "Nothing has come from a tablet yet.");
    return frame(&v.session, "Faults over time, a line for each aircraft.", "Aircraft", h, practice);
}

Response Site::units(const Visit& v)
{
    Connection* c = v.reader.ledger.connection();
    const auto from = from_of(v);
    auto parts = c ? book_.parts(*c, {}, from, page_parts + 1) : Result<std::vector<PartRow>>(fail("gone"));
    if (!parts) return plain(503);
    const bool more = parts->size() > page_parts;
    if (more) parts->pop_back();
    Html h;
    h.markup("<div class=\"scroll\"><table><thead><tr><th>Unit</th><th>Off</th><th>On</th><th>Aircraft</th><th>Why</th><th class=\"right\">When</th></tr></thead><tbody>");
    for (const auto& p : *parts) {
        h.markup("<tr><td data-label=\"Unit\">").element("a", {{"href", "/shop/jobs/" + percent_encoded(p.job)}}, p.off_number.empty() ? p.on_number : p.off_number);
        h.markup("</td><td data-label=\"Off\" class=\"n\">").text(p.off_serial).markup("</td><td data-label=\"On\" class=\"n\">").text(p.on_serial).markup("</td><td data-label=\"Aircraft\" class=\"tail\">").text(p.tail);
        h.markup("</td><td data-label=\"Why\">").text(p.reason).markup("</td><td data-label=\"When\" class=\"n right\">").text(to_date(p.at)).markup("</td></tr>");
    }
    h.markup("</tbody></table></div>");
    pages_of(h, "?from=", from, page_parts, more, "Newer", "Older");
    return frame(&v.session, parts->empty() ? "No unit has been changed." : "Units by serial, off and on.", "Units", h);
}

} // namespace chockside::shop
