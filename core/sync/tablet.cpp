#include <core/sync/detail/contact.h>

#include <core/base/planted.h>

#include <algorithm>

namespace chockside::sync {

const char* name_of(Stage s)
{
    constexpr const char* names[] = {"on_device", "sent", "at_shop", "archived"};
    return names[static_cast<int>(s)];
}

const char* name_of(Step s)
{
    constexpr const char* names[] = {"", "enrol", "session", "session", "heads", "push", "push", "pull", "pull", "blob", "blob", "blob", "blob", "blob"};
    return names[static_cast<int>(s)];
}

Tablet::Tablet(TabletStore& store, Wire& wire, const Clock& clock, Random& random, TabletSettings settings)
    : in_(std::make_unique<Inside>(Inside{store, wire, clock, random, std::move(settings)}))
{
}

Tablet::~Tablet()
{
    if (in_->id) in_->wire.cancel(in_->id);
}

// --- Time.

std::int64_t Tablet::Inside::below(std::int64_t ms)
{
    std::uint64_t word = 0;
    random.fill(std::as_writable_bytes(std::span(&word, 1)));
    return static_cast<std::int64_t>(word % static_cast<std::uint64_t>(ms + 1));
}

void Tablet::Inside::wait(std::int64_t at_most)
{
    due = std::max(not_before, now() + below(at_most));
}

void Tablet::Inside::failed(std::string why, std::int64_t at_least)
{
    reason = std::move(why);
    step = Step::idle;
    not_before = now() + at_least;
    wait(most_wait(failures++));
}

void Tablet::Inside::put_off(PutOff& p, std::string why, std::int64_t at_least)
{
    p.why = std::move(why);
    p.floor = now() + at_least;
    p.until = std::max(p.floor, now() + below(most_wait(p.failures++)));
    next();
}

namespace {

constexpr std::size_t least_lines = 1, least_bytes = 32u << 10; // one entry is the least that gets on

} // namespace

/// A line that is too slow for an answer of that length brings it no better the next time.
void Tablet::Inside::ask_less()
{
    if (step == Step::pull) pull_lines = std::max(least_lines, pull_lines / 2);
    if (step == Step::blob_get) get_bytes = std::max(std::min(least_bytes, settings.range), get_bytes / 2);
}

/// By a quarter: doubling would be cut every second time.
void Tablet::Inside::ask_more()
{
    if (step == Step::pull) pull_lines = std::min(limits::batch_entries, pull_lines + std::max<std::size_t>(8, pull_lines / 4));
    if (step == Step::blob_get) get_bytes = std::min(settings.range, get_bytes + std::max(least_bytes, get_bytes / 4));
}

void Tablet::Inside::rest()
{
    step = Step::idle;
    reason.clear();
    failures = 0;
    pulled_size = held_back ? -1 : size_now;
    due = now() + settings.poll_ms;
    for (const PutOff* p : {&up, &down})
        if (!p->why.empty()) due = std::min(*due, std::max(now(), p->until));
}

void Tablet::Inside::stop(std::string why)
{
    step = Step::idle;
    halted = std::move(why);
    due.reset();
}

Status Tablet::start()
{
    auto known = in_->store.known();
    auto own = in_->store.own_head();
    if (!known || !own) return Unexpected{!known ? known.error() : own.error()};
    in_->known = std::move(*known);
    in_->own = *own;
    if (!in_->known.account.receiver.empty()) in_->wait(in_->settings.link_up_ms);
    return {};
}

void Tablet::link_up()
{
    for (auto* p : {&in_->up, &in_->down}) p->until = std::min(p->until, p->floor);
    if (in_->id || in_->known.account.receiver.empty()) return;
    const auto before = in_->due;
    in_->wait(in_->settings.link_up_ms);
    if (before && *before < *in_->due) in_->due = before;
}

void Tablet::entries_written()
{
    Inside& in = *in_;
    if (auto own = in.store.own_head()) in.own = *own;
    if (in.id || in.failures || !in.due) return;
    in.due = std::min(*in.due, in.now() + in.settings.gather_ms);
}

void Tablet::try_now()
{
    Inside& in = *in_;
    if (in.id || in.known.account.receiver.empty()) return;
    in.halted.clear();
    in.blobs_failed.clear();
    in.kept_here.clear();
    in.up = in.down = {};
    const std::string& why = in.known.stopped;
    if (!why.empty() && why != "fork" && why != "ahead") {
        Change c;
        c.stopped = "";
        if (!in.keep(c)) return;
    }
    in.due = in.now();
    wake();
}

void Tablet::wake()
{
    if (in_->id || !in_->due || in_->now() < *in_->due) return;
    in_->due.reset();
    in_->contact();
}

std::optional<std::int64_t> Tablet::next_wake() const
{
    return in_->id ? std::nullopt : in_->due;
}

// --- The way of a contact.

bool Tablet::Inside::renew_known()
{
    auto head = store.own_head();
    auto read = known_lost ? store.known() : Result<Known>(known);
    if (!head || !read) {
        failed(!head ? head.error().code : read.error().code);
        return false;
    }
    own = *head;
    known = std::move(*read);
    known_lost = false;
    return true;
}

void Tablet::Inside::contact()
{
    renewed = false;
    gaps = 0;
    if (!halted.empty() || known.account.receiver.empty() || !renew_known()) return;
    if (known.account.enrolled) return token.empty() ? ask_nonce() : ask_heads();
    const std::string& code = known.account.code;
    EnrolRequest r{code, store.public_key(), settings.name.substr(0, 100), {}};
    r.proof = to_hex(store.sign(trust::Domain::enrolment, as_bytes(enrolment_statement(code, r.key, known.account.receiver))));
    send(Step::enrol, {"POST", "/v1/enrol", {{"content-type", "application/json"}}, text(r)});
}

void Tablet::Inside::next()
{
    if (auto head = store.own_head()) own = *head;
    if (ask_push() || ask_fill() || ask_pull()) return;
    if (jobs_due) return ask_jobs();
    if (ask_blob() || ask_wanted()) return;
    rest();
}

void Tablet::Inside::send(Step s, Request r, std::size_t most)
{
    step = s;
    id = next_id++;
    if (!token.empty()) r.headers["authorization"] = "Bearer " + token;
    wire.send(id, std::move(r), most);
}

Request Tablet::Inside::get(std::string target) const
{
    return {"GET", std::move(target), {}, {}};
}

void Tablet::Inside::ask_nonce()
{
    token.clear();
    renewed = true;
    send(Step::nonce, {"POST", "/v1/nonce", {}, {}});
}

void Tablet::Inside::ask_heads()
{
    send(Step::heads, get(heads_target(known.log_size, known.epoch)));
}

void Tablet::answered(std::uint64_t id, WireAnswer a)
{
    Inside& in = *in_;
    if (id == 0 || id != in.id) return;
    in.id = 0;
    if (a.fault && a.fault != WireFault::no_route && a.fault != WireFault::not_shop) in.ask_less();
    if (a.fault == WireFault::too_long && in.step == Step::blob_get) return in.blob_left(name_of(*a.fault)); // no other file waits for it
    if (a.fault) return in.step >= Step::blob_ask ? in.put_off(in.way(), name_of(*a.fault)) : in.failed(name_of(*a.fault)); // entries tell whether the way stands
    in.take(a.answer);
}

void Tablet::Inside::take(const Answer& a)
{
    const bool tus = step >= Step::blob_ask, upload = step == Step::blob_make || step == Step::blob_where || step == Step::blob_send;
    const bool no_range = step == Step::blob_get && a.status == 416; // shops have told that without their mark
    if (tus && a.status < 500 && !no_range && header(a.headers, upload ? "tus-resumable" : "chockside-protocol").empty()) return put_off(way(), "not_shop");
    if (a.status / 100 != 2) return refused(a);
    // A captive portal says 200 as well; and what was cut tells nothing.
    if (!tus && !digest_holds(a.headers, a.body)) return failed("not_shop");
    switch (step) {
    case Step::enrol: return enrolled(a);
    case Step::nonce: return got_nonce(a);
    case Step::session: return got_session(a);
    case Step::heads: return got_heads(a);
    case Step::push:
    case Step::fill: return pushed(a);
    case Step::pull: return pulled(a);
    case Step::jobs: return got_jobs(a);
    case Step::blob_ask: return blob_asked(a);
    case Step::blob_make: return blob_made(a);
    case Step::blob_where: return blob_where(a);
    case Step::blob_send: return blob_sent(a);
    case Step::blob_get: return blob_got(a);
    case Step::idle: return;
    }
}

namespace {

/// At most an hour: nobody puts a tablet to sleep for days with one header.
std::int64_t retry_after_ms(const Answer& a)
{
    constexpr std::int64_t most_s = 3600;
    const std::string& t = header(a.headers, "retry-after");
    if (t.empty() || t.size() > 6 || !std::all_of(t.begin(), t.end(), [](char c) { return c >= '0' && c <= '9'; })) return 0;
    return std::min<std::int64_t>(most_s, std::stoll(t)) * 1000;
}

} // namespace

void Tablet::Inside::refused(const Answer& a)
{
    const bool tus = step >= Step::blob_ask;
    if (a.status >= 500 || a.status == 423 || a.status == 429) {
        const char* why = a.status == 507 ? "full" : "busy";
        return tus ? put_off(way(), why, retry_after_ms(a)) : failed(why, retry_after_ms(a));
    }
    if (a.status == 401) return renewed ? failed("not_let_in") : ask_nonce();
    if (step == Step::blob_ask) return blob_asked(a);
    if (step == Step::blob_make) return blob_made(a);
    if (step == Step::blob_where) return blob_where(a);
    if (step == Step::blob_send) return blob_sent(a);
    if (step == Step::blob_get) return blob_got(a);
    const auto r = digest_holds(a.headers, a.body) ? refusal_from(a.body) : Result<Refusal>(fail("message_malformed"));
    if (!r || tus) return failed("not_shop");
    if (step == Step::push || step == Step::fill) return push_refused(a, *r);
    if (step == Step::pull && a.status == 403 && r->code == "not_yours") { // a job that is no longer shared
        places.pop_front();
        return next();
    }
    if (a.status == 404) return failed("not_shop");
    stop(r->code);
}

// --- What is kept.

bool Tablet::Inside::keep(const Change& c)
{
    const Status done = store.apply(c);
    if (!done) {
        known_lost = true;
        failed(done.error().code);
        return false;
    }
    note(c);
    return true;
}

void Tablet::Inside::note(const Change& c)
{
    if (c.epoch) {
        const auto account = known.account;
        auto positions = std::move(known.positions);
        const bool went_back = known.went_back;
        const std::string stopped = known.stopped;
        known = Known{};
        known.account = account;
        known.positions = std::move(positions);
        known.went_back = went_back;
        known.stopped = stopped;
        known.epoch = *c.epoch;
    }
    if (c.account) known.account = *c.account;
    if (c.receipt && (!known.receipt || c.receipt->seq >= known.receipt->seq)) known.receipt = c.receipt;
    if (c.log) known.log_size = c.log->first, known.log_root = c.log->second;
    if (c.streams) known.streams = c.streams;
    if (c.went_back) known.went_back = *c.went_back;
    if (c.stopped) known.stopped = *c.stopped;
    if (c.position) known.positions[c.position->first] = c.position->second;
    if (c.upload) {
        if (c.upload->second.empty()) known.uploads.erase(c.upload->first);
        else known.uploads[c.upload->first] = c.upload->second;
    }
    if (c.receipt && c.receipt->log_size <= known.archive) known.archived = std::max(known.archived, c.receipt->seq);
    if (!c.archive) return;
    known.archive = *c.archive;
    // Which of all receipts so far the mark covers is the store's to say.
    if (auto again = store.known()) known.archived = again->archived;
}

// --- Enrolment and session.

namespace {

std::optional<Bytes> from_base64url(std::string_view text)
{
    std::string t(text);
    for (char& c : t) c = c == '-' ? '+' : c == '_' ? '/' : c;
    while (t.size() % 4) t += '=';
    return from_base64(t);
}

} // namespace

Status Tablet::enrol(std::string_view text)
{
    constexpr std::string_view mark = "chockside-enrol:";
    while (!text.empty() && (text.back() == '\n' || text.back() == '\r' || text.back() == ' ')) text.remove_suffix(1);
    if (!text.starts_with(mark) || text.size() > 4096) return fail("bad_code");
    const auto bytes = from_base64url(text.substr(mark.size()));
    const auto v = bytes ? json::read(to_text(*bytes)) : Result<json::Value>(fail("bad_code"));
    if (!v) return fail("bad_code");
    Account a;
    a.receiver = (*v)["receiver"].as_text();
    a.receiver_key = (*v)["receiver_key"].as_text();
    a.url = (*v)["url"].as_text();
    a.code = (*v)["code"].as_text();
    for (const auto& p : (*v)["pins"].as_array()) a.pins.push_back(p.as_text());
    const auto key = from_hex(a.receiver_key);
    if (!key || key->size() != 32 || trust::author_id(*key) != a.receiver || !is_author(a.code) || a.url.empty()) return fail("bad_code");
    Inside& in = *in_;
    if (in.id) in.wire.cancel(in.id);
    in.id = 0;
    in.step = Step::idle;
    in.halted.clear();
    in.token.clear();
    Change c;
    if (in.known.account.receiver != a.receiver) c.epoch = "";
    c.account = std::move(a);
    in.blobs_failed.clear();
    in.kept_here.clear();
    in.up = in.down = {};
    in.known_lost = true;
    if (auto ok = in.store.apply(c); !ok) {
        in.failed(ok.error().code); // whichever shop it is now: what was under way has been given up for it
        return ok;
    }
    in.known.account = *c.account;
    in.due = in.now();
    return {};
}

void Tablet::Inside::enrolled(const Answer& a)
{
    const auto e = enrol_answer_from(a.body);
    if (!e || e->author != store.author() || e->receiver != known.account.receiver || e->receiver_key != known.account.receiver_key) return failed("not_shop");
    Change c;
    c.account = known.account;
    c.account->enrolled = true;
    c.account->code.clear();
    if (!keep(c)) return;
    progress();
    ask_nonce();
}

void Tablet::Inside::got_nonce(const Answer& a)
{
    const auto n = nonce_answer_from(a.body);
    if (!n || n->receiver != known.account.receiver) return failed("not_shop");
    const Now at = clock.now();
    asked_at = at.utc_ms;
    SessionRequest r{store.author(), n->nonce, to_hex(store.sign(trust::Domain::session, as_bytes(session_statement(store.author(), n->nonce, known.account.receiver)))), at.utc_ms};
    send(Step::session, {"POST", "/v1/session", {{"content-type", "application/json"}}, text(r)});
}

void Tablet::Inside::got_session(const Answer& a)
{
    const auto s = session_answer_from(a.body);
    if (!s || s->receiver != known.account.receiver) return failed("not_shop");
    token = s->token;
    offset = ((s->received - s->sent) + (s->answered - clock.now().utc_ms)) / 2; // RFC 5905, section 8: theta
    ask_heads();
}

// --- Seen from outside.

QueueView Tablet::view() const
{
    const Inside& in = *in_;
    QueueView v;
    v.entries = in.own.seq;
    v.at_shop = in.known.receipt ? in.known.receipt->seq : 0;
    v.archived = in.known.archived;
    v.sent = std::max(in.sent, v.at_shop);
    v.lacking = in.lacking;
    for (const auto& b : in.blobs) {
        if (v.files.size() == 20) break;
        const bool first = &b == &in.blobs.front();
        v.files.push_back({b.sha256, b.size, first ? in.blob_offset : 0, first && in.blob_offset ? Stage::sent : Stage::on_device});
    }
    v.enrolled = in.known.account.enrolled;
    v.busy = in.id != 0;
    v.went_back = in.known.went_back;
    v.doing = name_of(in.step);
    v.refused = static_cast<std::int64_t>(in.kept_here.size());
    if (v.refused) v.refused_reason = in.kept_here.begin()->second;
    v.files_reason = in.up.why.empty() ? in.down.why : in.up.why;
    v.reason = in.reason.empty() ? v.files_reason : in.reason;
    v.stopped = in.halted.empty() ? in.known.stopped : in.halted;
    if (in.due && !in.id) v.next_try_ms = std::max<std::int64_t>(0, *in.due - in.now());
    v.clock_offset_ms = in.offset;
    return v;
}

} // namespace chockside::sync
