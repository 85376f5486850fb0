// One job: its line, its journal, what was isolated and done, swing, attachments, the answer of the shop.
#include <core/journal/store.h>
#include <core/record/report.h>
#include <core/trust/trust.h>
#include <platform/shop/draw.h>
#include <platform/shop/site.h>

#include <set>

namespace chockside::shop {

namespace {

void thread(Html& h, const Opened& o)
{
    h.markup("<section aria-label=\"Journal\"><h2>Journal</h2><ol class=\"thread\">");
    std::map<std::string, const job::Line*> lines;
    for (const auto& line : o.state.lines) lines[line.stamp.hash] = &line;
    std::set<std::string> told;
    for (const auto& e : o.entries) {
        if (const std::string telling = e.body["telling"].as_text(); !telling.empty() && !told.insert(telling).second) continue;
        const auto at = lines.find(e.hash);
        std::string words = at != lines.end() && !at->second->text.empty() ? at->second->text : e.body["text"].as_text();
        const auto& kind = e.envelope.kind;
        if (kind == "replied") words = "Shop: " + e.body["text"].as_text();
        if (kind == "assigned") words = "Shop assigns: " + e.body["title"].as_text() + ". " + e.body["text"].as_text();
        if (kind == "benched") words = "Bench: " + e.body["number"].as_text() + " " + e.body["serial"].as_text() + (e.body["fault_found"].as_bool() ? ", fault found. " : ", no fault found. ") + e.body["text"].as_text();
        if (words.empty()) words = e.body_bytes.empty() ? e.envelope.kind + " (body not here)" : e.envelope.kind;
        const bool amended = at != lines.end() && at->second->amended;
        h.markup("<li><span class=\"n\">").text(to_hms(e.envelope.wall)).markup("</span> ").element("span", {{"class", amended ? "gone" : "said"}}, words);
        h.markup(" <span class=\"by\">").text(e.envelope.person).markup("</span>");
        if (at != lines.end()) h.element("small", std::string(job::title_of(at->second->stamp.stage)) + ", " + to_date(e.envelope.wall));
        h.markup("</li>");
    }
    h.markup("</ol></section>");
}

void isolated(Html& h, const Opened& o)
{
    if (!o.profile || o.view.isolate.places.empty()) return;
    h.markup("<section class=\"paper\"><h2>").text(o.view.finding.empty() ? "Not isolated yet" : "Isolated to " + o.view.finding).markup("</h2>").add(harness(o.view.isolate.places));
    h.markup("<p>").text(o.view.isolate.sentence).markup(" <small>A likelihood is advice, not a finding.</small></p>");
    h.markup("<ul class=\"evidence\">");
    for (const auto& e : o.view.isolate.evidence) h.element("li", e.text);
    h.markup("</ul></section>");
}

void swing(Html& h, const Opened& o)
{
    if (o.view.swing.points.empty()) return;
    h.markup("<section class=\"paper\"><h2>Heading swing, deviation in degrees</h2>").add(swing_plot(o.view.swing)).element("p", o.view.swing.sentence);
    if (!o.view.swing.card.empty()) {
        h.markup("<table class=\"card\"><caption>Card</caption><tbody><tr><th>For</th>");
        for (const auto& row : o.view.swing.card) h.element("td", {{"class", "n"}}, std::to_string(row.first));
        h.markup("</tr><tr><th>Steer</th>");
        for (const auto& row : o.view.swing.card) h.element("td", {{"class", "n"}}, std::to_string(row.second));
        h.markup("</tr></tbody></table>");
    }
    h.markup("</section>");
}

void report(Html& h, const Opened& o)
{
    if (!o.profile) return;
    h.markup("<details class=\"report\"><summary>Aircraft entry and report, for print</summary>");
    const auto r = record::make_report(*o.profile, o.state, o.view, o.entries.back().hash);
    for (const auto& section : r.sections) {
        h.element("h3", section.title);
        for (const auto& block : section.blocks) {
            if (const auto* p = std::get_if<record::Paragraph>(&block)) h.element("p", p->text);
            if (const auto* t = std::get_if<record::Table>(&block)) {
                h.markup("<table><thead><tr>");
                for (const auto& head : t->head) h.element("th", head);
                h.markup("</tr></thead><tbody>");
                for (const auto& row : t->rows) {
                    h.markup("<tr>");
                    for (const auto& cell : row) h.element("td", cell);
                    h.markup("</tr>");
                }
                h.markup("</tbody></table>");
            }
        }
    }
    h.markup("</details>");
}

} // namespace

Response Site::job(const Visit& v)
{
    Connection* c = v.reader.ledger.connection();
    auto opened = c ? book_.open(*c, v.parts[1], true) : Result<std::shared_ptr<const Opened>>(fail("gone"));
    if (!opened) return opened.error().code == "not_found" ? frame(&v.session, "Not here", "Jobs", Html().element("p", "There is no such job."), false, 404) : plain(503);
    const Opened& o = **opened;
    const auto& s = o.state;
    Html h;
    std::string about = s.aircraft_type;
    if (s.off) about += (about.empty() ? "" : ", ") + s.off->number + " " + s.off->serial + " off";
    if (s.on) about += ", " + s.on->serial + " on";
    about += (about.empty() ? "" : ". ") + std::to_string(o.entries.size()) + " entries, ";
    h.markup("<p class=\"about\">").text(about);
    if (o.verified.ok) h.add(mark("good")).element("strong", {{"id", "badge"}}, "chain whole");
    else h.add(mark("attn")).element("strong", {{"id", "badge"}}, "chain broken at " + o.verified.first_bad->author.substr(0, 8) + "/" + std::to_string(o.verified.first_bad->seq) + ": " + o.verified.first_bad->reason);
    h.markup("</p><p class=\"tools\">").element("a", {{"class", "key"}, {"href", "/shop/jobs/" + percent_encoded(v.parts[1]) + "/package"}}, "Package").markup("</p>");
    if (!s.contradictions.empty()) {
        h.markup("<div class=\"problem\" role=\"alert\"><strong>Told two ways.</strong><ul>");
        if (o.view.disputes.empty())
            for (const auto& each : s.contradictions) h.element("li", each); // the profile has not come: what it is of has no name yet
        for (const auto& each : o.view.disputes) {
            h.markup("<li>").element("strong", each.title);
            if (!each.says.empty()) h.text(": " + each.says);
            h.element("div", each.ends).markup("</li>");
        }
        h.markup("</ul></div>");
    }
    std::string letters;
    for (const auto& cell : o.view.rail) letters += cell.open ? 'g' : cell.filled >= 1 ? 's' : cell.here ? 'w' : 'h';
    if (!letters.empty()) h.add(rail(letters, true));
    if (!o.profile) h.element("p", {{"class", "problem"}}, "The profile of this job has not come yet. Entries are shown as they are.");
    h.markup("<div class=\"two\">");
    thread(h, o);
    h.markup("<div>");
    isolated(h, o);
    swing(h, o);
    h.markup("<section><h2>Attachments</h2><ul class=\"files\">");
    for (const auto& e : o.entries)
        for (const auto& sha : e.envelope.att) {
            const auto size = blobs_.size(sha);
            h.markup("<li>").add(mark(size ? "good" : "run"));
            const std::string name = e.envelope.kind + " " + to_hms(e.envelope.wall);
            if (size) h.element("a", {{"href", file_link(sha, e.envelope.kind + "-" + sha.substr(0, 12))}, {"download", ""}}, name).text(", " + std::to_string((*size + 1023) / 1024) + " kB, whole");
            else h.text(name + ", arriving, resumes by itself");
            h.markup(" <code>").text(sha.substr(0, 12)).markup("</code></li>");
        }
    h.markup("</ul></section></div></div>");
    report(h, o);
    if (v.session.account.role >= Role::lead) {
        h.open("form", {{"class", "reply"}, {"method", "post"}, {"action", "/shop/jobs/" + percent_encoded(v.parts[1]) + "/reply"}});
        form_token(h, v.session);
        h.markup("<label class=\"hidden\" for=\"text\">Reply</label>").open("input", {{"id", "text"}, {"name", "text"}, {"maxlength", "2000"}, {"required", ""}, {"placeholder", "Reply, comes down with the next exchange"}});
        h.element("button", {{"class", "key write"}}, "Send reply").close("form");
        give_form(h, v, o.job());
        bench_form(h, o, v.session, v.parts[1]);
    }
    return frame(&v.session, (s.tail.empty() ? v.parts[1] : s.tail) + ": " + (s.complaint.empty() ? "no write-up yet" : s.complaint), "Jobs", h, s.practice);
}

Response Site::package(const Visit& v)
{
    Connection* c = v.reader.ledger.connection();
    auto o = c ? book_.open(*c, v.parts[1], false) : Result<std::shared_ptr<const Opened>>(fail("gone"));
    if (!o) return plain(o.error().code == "not_found" ? 404 : 503);
    Response r;
    r.body = journal::lines_of((*o)->entries, (*o)->keys);
    r.set("Content-Type", "application/octet-stream").set("Content-Disposition", "attachment; filename=\"job.jsonl\"").set("X-Content-Type-Options", "nosniff");
    r.set("Content-Security-Policy", "default-src 'none'; sandbox").set("Cache-Control", "no-store");
    return r;
}

Response Site::reply(const Visit& v)
{
    Connection* c = v.reader.ledger.connection();
    auto o = c ? book_.open(*c, v.parts[1], false) : Result<std::shared_ptr<const Opened>>(fail("gone"));
    if (!o) return plain(o.error().code == "not_found" ? 404 : 503);
    const std::string text = v.field("text");
    if (text.empty() || text.size() > 8000 || !is_utf8(text)) return plain(400);
    journal::Draft draft{"replied", 1, json::Object{{"text", text}}, {}, v.session.account.name, {}};
    return tell_all(v, **o, draft);
}

/// Another tablet works on in the job, as after a change of shift: from now on it gets what is written there.
Response Site::give(const Visit& v)
{
    Connection* c = v.reader.ledger.connection();
    auto o = c ? book_.open(*c, v.parts[1], false) : Result<std::shared_ptr<const Opened>>(fail("gone"));
    if (!o) return plain(o.error().code == "not_found" ? 404 : 503);
    const std::string device = v.field("device");
    if (!sync::is_author(device)) return plain(400);
    // A job that nobody has opened yet is known by the write-up that it was given with.
    const auto& s = (*o)->state;
    const bool opened = !s.tail.empty();
    const json::Value& given = (*o)->entries.front().body;
    const std::string title = opened ? s.complaint : given["title"].as_text(), tail = opened ? s.tail : given["tail"].as_text();
    journal::Draft draft{"assigned", 1, json::Object{{"title", title}, {"tail", tail}, {"complaint", title}, {"text", ""}, {"opened", opened}}, {}, v.session.account.name, {}};
    auto done = act([&, job = (*o)->job()](sync::Receive& receive) -> Status {
        auto said = receive.say(device, job, draft);
        return said ? Status{} : Status(Unexpected{said.error()});
    });
    if (!done) return plain(done.error().code == "not_enrolled" ? 404 : 503, done.error().code);
    return see("/shop/jobs/" + percent_encoded(v.parts[1]));
}

/// Tablets that do not get what is written in the job, to choose from; nothing where there is none.
void Site::give_form(Html& h, const Visit& v, const std::string& job)
{
    auto devices = v.reader.ledger.devices();
    if (!devices) return;
    std::erase_if(*devices, [&](const sync::Device& d) {
        const auto has = v.reader.ledger.shares(job, d.author);
        return d.revoked_at || !has || *has;
    });
    if (devices->empty()) return;
    h.open("form", {{"class", "reply"}, {"method", "post"}, {"action", "/shop/jobs/" + percent_encoded(v.parts[1]) + "/give"}});
    form_token(h, v.session);
    h.markup("<label class=\"hidden\" for=\"to\">Tablet</label><select id=\"to\" name=\"device\">");
    for (const auto& d : *devices) h.element("option", {{"value", d.author}}, d.name);
    h.markup("</select>").element("button", {{"class", "key write"}}, "Give to this tablet too").close("form");
}

/// To every tablet that gets what is written in the job: an entry in each one's stream, told once to who reads them all.
Response Site::tell_all(const Visit& v, const Opened& o, journal::Draft draft)
{
    draft.body.at("telling") = trust::sha256_hex(as_bytes(o.job() + "/" + std::to_string(clock_.now().utc_ms) + "/" + json::write(draft.body))).substr(0, 32);
    Connection* c = v.reader.ledger.connection();
    auto names = c ? book_.names(*c) : Result<std::map<std::string, std::string>>(fail("gone"));
    if (!names) return plain(503);
    std::map<std::string, int> to;
    for (const auto& e : o.entries)
        if (names->contains(e.envelope.author)) ++to[e.envelope.author];
    for (const auto& each : *names)
        if (const auto has = v.reader.ledger.shares(o.job(), each.first); has && *has) ++to[each.first];
    auto said = act([&, job = o.job()](sync::Receive& receive) -> Status {
        for (const auto& each : to)
            if (auto one = receive.say(each.first, job, draft); !one) return Unexpected{one.error()};
        return {};
    });
    return said ? see("/shop/jobs/" + percent_encoded(v.parts[1])) : plain(503, said.error().code);
}

} // namespace chockside::shop
