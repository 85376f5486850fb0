// Tablets, write-ups to assign, profiles, people, the access log.
#include <platform/shop/draw.h>
#include <platform/shop/site.h>

namespace chockside::shop {

namespace {

bool plain_text(const std::string& text, std::size_t most)
{
    return text.size() <= most && is_utf8(text) && text.find('\0') == std::string::npos;
}

/// Half of the pages: a sentence of what went wrong, where it did.
void told(Html& h, const std::string& problem)
{
    if (!problem.empty()) h.element("p", {{"class", "problem"}, {"role", "alert"}}, problem);
}

} // namespace

Response Site::tablets(const Visit& v)
{
    Connection* c = v.reader.ledger.connection();
    auto devices = c ? v.reader.ledger.devices() : Result<std::vector<sync::Device>>(fail("gone"));
    auto strange = c ? v.reader.ledger.quarantined() : Result<std::vector<sync::Quarantined>>(fail("gone"));
    if (!devices || !strange) return plain(503);
    const bool lead = v.session.account.role >= Role::lead;
    Html h;
    if (!strange->empty()) {
        h.markup("<div class=\"problem\" role=\"alert\"><strong>Two histories under one key.</strong> Both are kept; a person decides. <ul>");
        for (const auto& q : *strange) h.element("li", q.author.substr(0, 12) + ", entry " + std::to_string(q.seq) + ", " + to_date(q.received_at));
        h.markup("</ul></div>");
    }
    if (lead) {
        h.markup("<form class=\"tools\" method=\"post\" action=\"/shop/tablets/code\">");
        form_token(h, v.session);
        h.element("button", {{"class", "key write"}}, "Enrol a tablet").close("form");
        h.markup("<form class=\"tools\" method=\"post\" action=\"/shop/take\" enctype=\"multipart/form-data\">");
        form_token(h, v.session);
        h.markup("<label for=\"file\">File or symbols that a tablet handed over</label><input id=\"file\" name=\"file\" type=\"file\" required>").element("button", {{"class", "key"}}, "Take it in").close("form");
    }
    h.markup("<div class=\"scroll\"><table><thead><tr><th>Tablet</th><th>Key</th><th>Enrolled</th><th>Entries here</th><th>Last heard</th><th>State</th></tr></thead><tbody>");
    for (const auto& d : *devices) {
        const auto head = v.reader.ledger.head(d.author);
        auto heard = c->run("SELECT received_at FROM entry WHERE author=$1 ORDER BY seq DESC LIMIT 1", {d.author});
        h.markup("<tr><td data-label=\"Tablet\" class=\"tail\">").text(d.name).markup("</td><td data-label=\"Key\"><code>").text(d.author.substr(0, 12)).markup("</code></td><td data-label=\"Enrolled\" class=\"n\">");
        h.text(to_date(d.enrolled_at)).markup("</td><td data-label=\"Entries\" class=\"n\">").text(head ? std::to_string(head->seq) : "?").markup("</td><td data-label=\"Last heard\" class=\"n\">");
        h.text(heard && !heard->empty() ? to_date(heard->number(0, 0)) + " " + to_hms(heard->number(0, 0)).substr(0, 5) : "-").markup("</td><td data-label=\"State\" class=\"state\">");
        if (d.revoked_at) {
            h.add(mark("defer")).text("revoked " + to_date(d.revoked_at));
        } else {
            h.add(mark("good")).text("enrolled");
            if (lead) {
                h.open("form", {{"method", "post"}, {"action", "/shop/tablets/" + percent_encoded(d.author) + "/revoke"}, {"class", "inline"}});
                form_token(h, v.session);
                h.open("label", {}).text("Why ").open("input", {{"name", "why"}, {"required", ""}, {"maxlength", "200"}}).close("label").element("button", {{"class", "key"}}, "Revoke").close("form");
            }
        }
        h.markup("</td></tr>");
    }
    h.markup("</tbody></table></div>");
    return frame(&v.session, devices->empty() ? "No tablet is enrolled." : std::to_string(devices->size()) + (devices->size() == 1 ? " tablet." : " tablets."), "Tablets", h);
}

Response Site::new_code(const Visit& v)
{
    std::string text;
    auto made = act([&](sync::Receive& receive) -> Status {
        auto code = receive.make_code();
        if (!code) return Unexpected{code.error()};
        text = receive.enrolment_text(*code, settings_.url, settings_.pins);
        return {};
    });
    if (!made) return plain(503, made.error().code);
    Html h;
    h.markup("<div class=\"two\"><div>").add(qr_symbol(text)).markup("</div><div><p>Hold the tablet's camera on it, or type the text. It works once, for 15 minutes.</p><p><code class=\"long\" id=\"code\">");
    h.text(text).markup("</code></p></div></div>");
    return frame(&v.session, "Enrol one tablet with this code.", "Tablets", h);
}

Response Site::revoke(const Visit& v)
{
    const std::string why = v.field("why");
    if (why.empty() || !plain_text(why, 400)) return plain(400);
    auto done = act([&](sync::Receive& receive) { return receive.revoke(v.parts[1], v.session.account.name, why); });
    if (!done) return plain(done.error().code == "not_enrolled" ? 404 : 503, done.error().code);
    return see("/shop/tablets");
}

Response Site::assign_form(const Visit& v)
{
    Connection* c = v.reader.ledger.connection();
    auto devices = c ? v.reader.ledger.devices() : Result<std::vector<sync::Device>>(fail("gone"));
    if (!devices) return plain(503);
    Html h;
    h.markup("<form class=\"narrow\" method=\"post\" action=\"/shop/assign\">");
    form_token(h, v.session);
    h.markup("<label for=\"device\">Tablet</label><select id=\"device\" name=\"device\">");
    for (const auto& d : *devices)
        if (!d.revoked_at) h.element("option", {{"value", d.author}}, d.name);
    h.markup("</select><label for=\"tail\">Aircraft</label>").open("input", {{"id", "tail"}, {"name", "tail"}, {"required", ""}, {"maxlength", "20"}});
    h.markup("<label for=\"title\">Write-up</label>").open("input", {{"id", "title"}, {"name", "title"}, {"required", ""}, {"maxlength", "200"}});
    h.markup("<label for=\"text\">To the technician</label><textarea id=\"text\" name=\"text\" rows=\"4\" maxlength=\"4000\"></textarea>");
    h.element("button", {{"class", "key write"}}, "Assign").close("form");
    return frame(&v.session, "Assign a write-up to a tablet.", "Jobs", h);
}

Response Site::assign(const Visit& v)
{
    const std::string device = v.field("device"), tail = v.field("tail"), title = v.field("title"), text = v.field("text");
    if (!sync::is_author(device) || tail.empty() || title.empty() || !plain_text(tail, 80) || !plain_text(title, 800) || !plain_text(text, 16000)) return plain(400);
    Bytes salt(8);
    trust::SystemRandom().fill(salt);
    const std::string job = "shop-" + to_hex(salt);
    journal::Draft draft{"assigned", 1, json::Object{{"title", title}, {"tail", tail}, {"complaint", title}, {"text", text}}, {}, v.session.account.name, {}};
    auto done = act([&](sync::Receive& receive) -> Status {
        auto said = receive.say(device, job, draft);
        return said ? Status{} : Status(Unexpected{said.error()});
    });
    if (!done) return plain(done.error().code == "not_enrolled" ? 404 : 503, done.error().code);
    return see("/shop/");
}

Response Site::profiles(const Visit& v)
{
    Connection* c = v.reader.ledger.connection();
    auto rows = c ? c->run("SELECT idx,author,seq,envelope,signature,salt,body,received_at FROM entry WHERE job='shop' ORDER BY idx DESC LIMIT 500") : Result<Rows>(fail("gone"));
    if (!rows) return plain(503);
    Html h;
    h.markup("<div class=\"scroll\"><table><thead><tr><th>Profile</th><th>Revision</th><th>Digest</th><th>By</th><th class=\"right\">Published</th></tr></thead><tbody>");
    for (std::size_t i = 0; i < rows->size(); ++i) {
        auto stored = stored_from(*rows, i);
        auto entry = stored ? sync::entry_of(stored->line) : Result<journal::Entry>(Unexpected{stored.error()});
        if (!entry || entry->envelope.kind != "profile") continue;
        h.markup("<tr><td data-label=\"Profile\" class=\"tail\">").text(entry->body["name"].as_text()).markup("</td><td data-label=\"Revision\" class=\"n\">").text(std::to_string(entry->body["revision"].as_int()));
        h.markup("</td><td data-label=\"Digest\"><code>").text(entry->body["sha256"].as_text().substr(0, 16)).markup("</code></td><td data-label=\"By\">").text(entry->envelope.person);
        h.markup("</td><td data-label=\"Published\" class=\"n right\">").text(to_date(stored->received_at)).markup("</td></tr>");
    }
    h.markup("</tbody></table></div>");
    if (v.session.account.role >= Role::lead) {
        h.markup("<form class=\"narrow wide\" method=\"post\" action=\"/shop/profiles\"><h2>Publish a revision</h2>");
        form_token(h, v.session);
        h.markup("<label for=\"bundle\">The profile with its halves, as <code>chockside-cli profile</code> bundles it (JSON)</label><textarea id=\"bundle\" name=\"bundle\" rows=\"10\" required></textarea>");
        h.element("button", {{"class", "key write"}}, "Publish to all tablets").close("form");
    }
    return frame(&v.session, "Profiles that tablets get at their next contact.", "Profiles", h);
}

Response Site::publish(const Visit& v)
{
    const std::string bundle = v.field("bundle");
    Html h;
    auto checked = book_.check_bundle(bundle);
    if (!checked) {
        std::string why = checked.error().code;
        for (const auto& [key, value] : checked.error().args) why += ", " + key + " " + value;
        told(h, "Not published: " + why);
        return frame(&v.session, "This profile is not fit for use.", "Profiles", h, false, 400);
    }
    auto sha = blobs_.put(bundle);
    if (!sha) return plain(503);
    journal::Draft draft{"profile", 1, json::Object{{"name", (*checked)->id}, {"revision", (*checked)->revision}, {"sha256", *sha}, {"must_understand", true}}, {*sha}, v.session.account.name, {}};
    auto done = act([&](sync::Receive& receive) -> Status {
        auto said = receive.say({}, "shop", draft);
        return said ? Status{} : Status(Unexpected{said.error()});
    });
    return done ? see("/shop/profiles") : plain(503, done.error().code);
}

Response Site::people(const Visit& v)
{
    Connection* c = v.reader.ledger.connection();
    auto all = c ? accounts_.list(*c) : Result<std::vector<Account>>(fail("gone"));
    if (!all) return plain(503);
    Html h;
    h.markup("<p><a href=\"/shop/log\">Access log</a></p><div class=\"scroll\"><table><thead><tr><th>Name</th><th>Role</th><th>State</th><th>Change</th></tr></thead><tbody>");
    for (const auto& a : *all) {
        h.markup("<tr><td data-label=\"Name\" class=\"tail\">").text(a.name).markup("</td><td data-label=\"Role\">").text(name_of(a.role)).markup("</td><td data-label=\"State\">").text(a.open ? "open" : "closed");
        h.markup("</td><td data-label=\"Change\">").open("form", {{"method", "post"}, {"action", "/shop/people/" + percent_encoded(a.name)}, {"class", "inline"}});
        form_token(h, v.session);
        h.open("label", {}).text("Role ").open("select", {{"name", "role"}});
        for (const Role role : {Role::reader, Role::lead, Role::keeper}) {
            if (role == a.role) h.element("option", {{"selected", ""}}, name_of(role));
            else h.element("option", name_of(role));
        }
        h.close("select").close("label").open("label", {}).text(" May log in ").open("select", {{"name", "open"}}).element("option", a.open ? "yes" : "no").element("option", a.open ? "no" : "yes").close("select").close("label");
        h.element("button", {{"class", "key"}}, "Set").close("form").markup("</td></tr>");
    }
    h.markup("</tbody></table></div><form class=\"narrow\" method=\"post\" action=\"/shop/people\"><h2>Add a person</h2>");
    form_token(h, v.session);
    h.markup("<label for=\"name\">Name</label>").open("input", {{"id", "name"}, {"name", "name"}, {"required", ""}, {"maxlength", "40"}}).markup("<label for=\"role\">Role</label><select id=\"role\" name=\"role\">");
    for (const Role role : {Role::reader, Role::lead, Role::keeper}) h.element("option", name_of(role));
    h.markup("</select><label for=\"password\">First password, 12 characters or more</label>").open("input", {{"id", "password"}, {"name", "password"}, {"type", "password"}, {"minlength", "12"}, {"required", ""}, {"autocomplete", "new-password"}});
    h.element("button", {{"class", "key write"}}, "Add").close("form");
    return frame(&v.session, "Who may use this page.", "People", h);
}

Response Site::add_person(const Visit& v)
{
    const auto role = role_of(v.field("role"));
    if (!role) return plain(400);
    auto added = accounts_.add(writer_, v.field("name"), *role, v.field("password"));
    if (added) return see("/shop/people");
    Html h;
    told(h, added.error().code == "exists" ? "The name is taken." : added.error().code == "password_short" ? "The password is too short." : "The name can't be used.");
    return frame(&v.session, "Not added.", "People", h, false, 400);
}

Response Site::set_person(const Visit& v)
{
    const auto role = role_of(v.field("role"));
    if (!role || (v.field("open") != "yes" && v.field("open") != "no")) return plain(400);
    auto set = accounts_.set_role(writer_, v.parts[1], *role, v.field("open") == "yes");
    if (set) return see("/shop/people");
    if (set.error().code == "not_found") return plain(404);
    Html h;
    told(h, set.error().code == "last_keeper" ? "One keeper must be left." : set.error().code);
    return frame(&v.session, "Not changed.", "People", h, false, 400);
}

Response Site::access_log(const Visit& v)
{
    accounts_.flush(writer_);
    Connection* c = v.reader.ledger.connection();
    auto all = c ? accounts_.accesses(*c, 500) : Result<std::vector<Access>>(fail("gone"));
    if (!all) return plain(503);
    Html h;
    h.markup("<div class=\"scroll\"><table><thead><tr><th>When, UTC</th><th>Session</th><th>From</th><th>What</th><th>Answer</th></tr></thead><tbody>");
    for (const auto& a : *all) {
        h.markup("<tr><td data-label=\"When\" class=\"n\">").text(to_rfc3339(a.at)).markup("</td><td data-label=\"Session\"><code>").text(a.account).markup("</code></td><td data-label=\"From\" class=\"n\">").text(a.peer);
        h.markup("</td><td data-label=\"What\">").text(a.what).markup("</td><td data-label=\"Answer\" class=\"n\">").text(std::to_string(a.status)).markup("</td></tr>");
    }
    h.markup("</tbody></table></div>");
    return frame(&v.session, "Who asked for what.", "People", h);
}

Response Site::log_out(const Visit& v)
{
    if (auto out = accounts_.log_out(writer_, v.session.id); !out) return plain(503);
    Response r = see("/shop/login");
    r.set("Set-Cookie", "shop=; Path=/shop; HttpOnly; SameSite=Strict; Max-Age=0");
    return r;
}

} // namespace chockside::shop
