#include <platform/shop/site.h>

#include <openssl/hmac.h>

#include <algorithm>
#include <future>

namespace chockside::shop {

void form_token(Html& h, const PageSession& session)
{
    h.open("input", {{"type", "hidden"}, {"name", "form_token"}, {"value", session.form_token}});
}

Response& guarded(Response& r)
{
    r.set("Content-Security-Policy", "default-src 'none'; style-src 'self'; script-src 'self'; img-src 'self'; connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'");
    r.set("X-Content-Type-Options", "nosniff").set("X-Frame-Options", "DENY").set("Referrer-Policy", "same-origin").set("Cross-Origin-Opener-Policy", "same-origin").set("Cross-Origin-Resource-Policy", "same-origin");
    r.set("Permissions-Policy", "camera=(), microphone=(), geolocation=()");
    return r;
}

struct Site::Route {
    std::string_view method, path; ///< after "/shop/"; "*" stands for one part
    Role least;
    Response (Site::*call)(const Visit&);
};

const std::vector<Site::Route>& Site::routes()
{
    static const std::vector<Route> all = {
        {"GET", "", Role::reader, &Site::jobs},
        {"GET", "jobs/*", Role::reader, &Site::job},
        {"GET", "jobs/*/package", Role::reader, &Site::package},
        {"POST", "jobs/*/reply", Role::lead, &Site::reply},
        {"POST", "jobs/*/give", Role::lead, &Site::give},
        {"POST", "jobs/*/bench", Role::lead, &Site::bench},
        {"GET", "assign", Role::lead, &Site::assign_form},
        {"POST", "assign", Role::lead, &Site::assign},
        {"GET", "aircraft", Role::reader, &Site::aircraft},
        {"GET", "units", Role::reader, &Site::units},
        {"GET", "fleet", Role::reader, &Site::fleet},
        {"GET", "tablets", Role::reader, &Site::tablets},
        {"POST", "tablets/code", Role::lead, &Site::new_code},
        {"POST", "tablets/*/revoke", Role::lead, &Site::revoke},
        {"POST", "take", Role::lead, &Site::take},
        {"GET", "profiles", Role::reader, &Site::profiles},
        {"POST", "profiles", Role::lead, &Site::publish},
        {"GET", "people", Role::keeper, &Site::people},
        {"POST", "people", Role::keeper, &Site::add_person},
        {"POST", "people/*", Role::keeper, &Site::set_person},
        {"GET", "log", Role::keeper, &Site::access_log},
        {"POST", "logout", Role::reader, &Site::log_out},
    };
    return all;
}

namespace {

std::vector<std::string> parts_of(std::string_view path)
{
    std::vector<std::string> parts;
    while (!path.empty()) {
        const auto end = path.find('/');
        parts.emplace_back(path.substr(0, end));
        path = end == std::string_view::npos ? std::string_view() : path.substr(end + 1);
    }
    return parts;
}

bool fits(std::string_view pattern, const std::vector<std::string>& parts)
{
    const auto wanted = parts_of(pattern);
    return wanted.size() == parts.size() && std::equal(wanted.begin(), wanted.end(), parts.begin(), [](const std::string& w, const std::string& p) { return w == "*" || w == p; });
}

Response asset(std::string_view text, const char* media)
{
    Response r;
    r.body = std::string(text);
    r.set("Content-Type", media).set("Cache-Control", "max-age=300");
    return std::move(guarded(r));
}

/// A browser says where a post comes from; another site's is refused before anything else is looked at.
bool from_elsewhere(const Request& q)
{
    const auto& fetch_site = q.field("sec-fetch-site");
    if (!fetch_site.empty() && fetch_site != "same-origin") return true;
    const auto& origin = q.field("origin");
    if (origin.empty()) return false;
    const auto at = origin.find("://");
    return at == std::string::npos || origin.substr(at + 3) != q.field("host");
}

std::optional<Fields> form_of(const Request& q)
{
    const auto& type = q.field("content-type");
    if (type.starts_with("application/x-www-form-urlencoded")) return form_fields(q.body);
    return q.path == "/shop/take" ? multipart_fields(type, q.body) : std::nullopt;
}

std::string hmac_hex(const Bytes& key, const std::string& text)
{
    unsigned char out[EVP_MAX_MD_SIZE];
    unsigned length = 0;
    HMAC(EVP_sha256(), key.data(), static_cast<int>(key.size()), reinterpret_cast<const unsigned char*>(text.data()), text.size(), out, &length);
    return to_hex(std::as_bytes(std::span(out, length)));
}

} // namespace

std::string Visit::field(std::string_view name) const
{
    std::string found;
    int times = 0;
    for (const auto& [key, value] : form)
        if (key == name) found = value, ++times;
    return times == 1 ? found : std::string();
}

Site::Site(Writer& writer, Workers& workers, Accounts& accounts, Book& book, const Blobs& blobs, const Clock& clock, Random& random, SiteSettings settings)
    : writer_(writer), workers_(workers), accounts_(accounts), book_(book), blobs_(blobs), clock_(clock), settings_(std::move(settings)), link_key_(32)
{
    random.fill(link_key_);
}

Intake Site::begin(const Head& head, Reply reply)
{
    if (head.path == "/" && head.method == "GET") return {see("/shop/")};
    if (head.path == "/favicon.ico" && head.method == "GET") return {plain(204)};
    const bool ours = head.path == "/shop" || head.path.starts_with("/shop/") || head.path.starts_with("/files/");
    if (!ours) return {plain(404)};
    if (head.path == "/shop/style.css" && head.method == "GET") return {asset(page_style(), "text/css; charset=utf-8")};
    if (head.path == "/shop/script.js" && head.method == "GET") return {asset(page_script(), "text/javascript; charset=utf-8")};
    if (head.path == "/shop") return {see("/shop/")};
    if (head.method != "GET" && head.method != "POST" && head.method != "HEAD") return {plain(405).set("Allow", "GET, HEAD, POST")};
    if (head.path == "/shop/take" && head.method == "POST") return hand_over(head, std::move(reply));
    return {{}, head.path == "/shop/profiles" ? (std::uint64_t{6} << 20) : (std::uint64_t{64} << 10), {}, [this](Request&& request, Reply told) {
                auto held = std::make_shared<Request>(std::move(request));
                const bool put = workers_.put([this, held, told](Reader& reader) {
                    if (held->path.starts_with("/files/")) return file(reader, *held, told);
                    if (held->path == "/shop/login") return log_in(reader, *held, told);
                    serve(reader, *held, told);
                });
                if (!put) told(plain(503).set("Retry-After", "2"));
            }};
}

void Site::done(const Head& head, int status)
{
    if (!head.path.starts_with("/shop/") || head.path.ends_with(".css") || head.path.ends_with(".js")) return;
    accounts_.note({clock_.now().utc_ms, accounts_.mark_of(cookie(head.field("cookie"), "shop")), head.peer, head.method + " " + head.path, status});
}

Response Site::see(const std::string& path) const
{
    Response r;
    r.status = 303;
    r.set("Location", path).set("Cache-Control", "no-store");
    return std::move(guarded(r));
}

Response Site::not_yours(const PageSession& session) const
{
    return frame(&session, "Not yours", "", Html().element("p", "This needs another role."), false, 403);
}

Result<PageSession, Response> Site::visitor(Reader& reader, const Head& head, Role least)
{
    const auto refused = [](Response r) { return Unexpected<Response>{std::move(r)}; };
    Connection* c = reader.ledger.connection();
    if (!c) return refused(plain(503, "The database can't be reached.").set("Retry-After", "5"));
    auto session = accounts_.session(*c, cookie(head.field("cookie"), "shop"));
    if (!session && session.error().code != "no_session") return refused(plain(503).set("Retry-After", "5"));
    if (!session) return refused(head.method == "POST" ? plain(403) : see("/shop/login"));
    if (session->account.role < least) return refused(not_yours(*session));
    return std::move(*session);
}

void Site::serve(Reader& reader, const Request& request, const Reply& reply)
{
    auto session = visitor(reader, request, Role::reader);
    if (!session) return reply(session.error());
    Visit visit{request, reader, *session, {}, parts_of(std::string_view(request.path).substr(6))};
    const std::string method = request.method == "HEAD" ? "GET" : request.method;
    bool there = false;
    for (const Route& route : routes()) {
        if (!fits(route.path, visit.parts)) continue;
        there = true;
        if (route.method != method) continue;
        if (session->account.role < route.least) return reply(not_yours(*session));
        if (method == "POST") {
            auto form = form_of(request);
            if (!form || from_elsewhere(request)) return reply(plain(403));
            visit.form = std::move(*form);
            if (!same(visit.field("form_token"), session->form_token)) return reply(plain(403));
        }
        return reply((this->*route.call)(visit));
    }
    reply(there ? plain(405) : frame(&*session, "Not here", "", Html().element("p", "There is no such page."), false, 404));
}

Response Site::log_in_page(const std::string& problem) const
{
    Html h;
    h.open("form", {{"method", "post"}, {"action", "/shop/login"}, {"class", "narrow"}});
    if (!problem.empty()) h.element("p", {{"class", "problem"}, {"role", "alert"}}, problem);
    h.element("label", {{"for", "name"}}, "Name").open("input", {{"id", "name"}, {"name", "name"}, {"autocomplete", "username"}, {"required", ""}, {"autofocus", ""}});
    h.element("label", {{"for", "password"}}, "Password").open("input", {{"id", "password"}, {"name", "password"}, {"type", "password"}, {"autocomplete", "current-password"}, {"required", ""}});
    h.element("button", {{"class", "key write"}}, "Log in").close("form");
    return frame(nullptr, "Log in", "", h, false, problem.empty() ? 200 : 403);
}

void Site::log_in(Reader& reader, const Request& request, const Reply& reply)
{
    if (request.method != "POST") return reply(log_in_page({}));
    if (from_elsewhere(request)) return reply(plain(403));
    const auto form = form_fields(request.body);
    Connection* c = reader.ledger.connection();
    if (!form || !c) return reply(plain(form ? 503 : 400));
    std::string name, password;
    for (const auto& [key, value] : *form) {
        if (key == "name") name = value;
        if (key == "password") password = value;
    }
    if (!is_utf8(name) || name.find('\0') != std::string::npos) name = "?";
    auto token = accounts_.log_in(*c, writer_, name, password, request.peer);
    if (!token) {
        const bool wait = token.error().code == "wait";
        return reply(log_in_page(wait ? "Too many wrong tries. Wait " + token.error().args.front().second + " s." : token.error().code == "wrong" ? "Name or password is wrong." : "The database can't be reached."));
    }
    Response r = see("/shop/");
    r.set("Set-Cookie", "shop=" + *token + "; Path=/shop; HttpOnly; SameSite=Strict; Max-Age=43200" + (request.secure ? "; Secure" : ""));
    reply(std::move(r));
}

/// A link that opens one file for ten minutes, without a cookie: what it gives can do nothing in the page's name.
std::string Site::file_link(const std::string& sha, const std::string& name) const
{
    const std::string until = std::to_string(clock_.now().utc_ms / 1000 + 600);
    return "/files/" + until + "/" + hmac_hex(link_key_, until + "/" + sha) + "/" + sha + "/" + percent_encoded(name);
}

void Site::file(Reader&, const Request& request, const Reply& reply)
{
    const auto parts = parts_of(std::string_view(request.path).substr(7));
    if (parts.size() != 4 || request.method == "POST" || !is_sha(parts[2])) return reply(plain(404));
    if (!same(hmac_hex(link_key_, parts[0] + "/" + parts[2]), parts[1]) || std::atoll(parts[0].c_str()) < clock_.now().utc_ms / 1000) return reply(plain(403, "The link has ended. Load the page anew."));
    auto opened = blobs_.read(parts[2]);
    if (!opened) return reply(plain(404));
    Response r;
    const auto size = blobs_.size(parts[2]).value_or(0);
    r.file = FileBody{std::shared_ptr<const int>(new int(opened->release()), [](const int* fd) { Fd closed(*fd); delete fd; }), 0, size};
    std::string name;
    for (const char ch : parts[3]) name += std::isalnum(static_cast<unsigned char>(ch)) || ch == '-' || ch == '.' || ch == '_' ? ch : '_';
    r.set("Content-Type", "application/octet-stream").set("Content-Disposition", "attachment; filename=\"" + name.substr(0, 80) + "\"").set("X-Content-Type-Options", "nosniff");
    r.set("Content-Security-Policy", "default-src 'none'; sandbox").set("Cache-Control", "private, no-store");
    reply(std::move(r));
}

Status Site::act(std::function<Status(sync::Receive&)> what)
{
    auto outcome = std::make_shared<std::promise<Status>>();
    auto told = outcome->get_future();
    writer_.act([outcome, what = std::move(what)](sync::Receive& receive) { outcome->set_value(what(receive)); });
    try {
        return told.get();
    } catch (const std::future_error&) {
        return fail("stopped", "act"); // the writer ended before it came to it
    }
}

} // namespace chockside::shop
