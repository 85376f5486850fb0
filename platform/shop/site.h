#pragma once
// The shop's page: every route with the least role that may call it, checked before anything else is looked at. GET never changes a thing;
// every POST carries the session's form token and comes from this site.

#include <platform/shop/accounts.h>
#include <platform/shop/book.h>
#include <platform/shop/files.h>
#include <platform/shop/html.h>
#include <platform/shop/http.h>

namespace chockside::shop {

struct SiteSettings {
    std::string shop_name = "Shop";
    std::string url;                  ///< as tablets reach it; into the enrolment code
    std::vector<std::string> pins;    ///< of the certificate, base64
    double least_free = 0.02;         ///< of the disk, below which no entries are taken
};

/// What a handler is given.
struct Visit {
    const Request& request;
    Reader& reader;
    const PageSession& session;
    Fields form;                      ///< of a POST
    std::vector<std::string> parts;   ///< of the path after "/shop/"

    std::string field(std::string_view name) const;
};

/// The hidden field that every form of a session carries.
void form_token(Html&, const PageSession&);
/// Where a lead writes what the bench saw; nothing where no unit came off.
void bench_form(Html&, const Opened&, const PageSession&, const std::string& job);
/// What every answer of the page carries: its own style, script and pictures only, no frame, no guessing of types.
Response& guarded(Response&);

class Site {
public:
    Site(Writer&, Workers&, Accounts&, Book&, const Blobs&, const Clock&, Random&, SiteSettings);

    /// `reply` is for what takes its body as it comes.
    Intake begin(const Head&, Reply reply);
    void done(const Head&, int status);
    void flush() { accounts_.flush(writer_); }
    void set_url(const std::string& url) { settings_.url = url; }

private:
    friend struct Pages;
    struct Route;
    static const std::vector<Route>& routes();

    void serve(Reader&, const Request&, const Reply&);
    /// The session behind a cookie; an answer where there is none or the role is less.
    Result<PageSession, Response> visitor(Reader&, const Head&, Role least);
    Intake hand_over(const Head&, Reply);
    class HandOver;
    void log_in(Reader&, const Request&, const Reply&);
    Response log_in_page(const std::string& problem) const;
    Response frame(const PageSession*, std::string_view title, std::string_view tab, const Html& inside, bool practice = false, int status = 200) const;
    Response see(const std::string& path) const;
    Response not_yours(const PageSession&) const;
    void file(Reader&, const Request&, const Reply&);
    std::string file_link(const std::string& sha, const std::string& name) const;
    /// Runs an act of the shop on the writer's thread and waits for it.
    Status act(std::function<Status(sync::Receive&)>);

    Response jobs(const Visit&);
    Response job(const Visit&);
    Response package(const Visit&);
    Response reply(const Visit&);
    Response give(const Visit&);
    void give_form(Html&, const Visit&, const std::string& job);
    Response assign_form(const Visit&);
    Response assign(const Visit&);
    Response aircraft(const Visit&);
    Response units(const Visit&);
    Response fleet(const Visit&);
    Response bench(const Visit&);
    Response tell_all(const Visit&, const Opened&, journal::Draft);
    Response tablets(const Visit&);
    Response new_code(const Visit&);
    Response revoke(const Visit&);
    Response take(const Visit&);
    Response profiles(const Visit&);
    Response publish(const Visit&);
    Response people(const Visit&);
    Response add_person(const Visit&);
    Response set_person(const Visit&);
    Response access_log(const Visit&);
    Response log_out(const Visit&);

    Writer& writer_;
    Workers& workers_;
    Accounts& accounts_;
    Book& book_;
    const Blobs& blobs_;
    const Clock& clock_;
    SiteSettings settings_;
    Bytes link_key_;
};

/// The files of the page itself.
std::string_view page_style();
std::string_view page_script();

} // namespace chockside::shop
