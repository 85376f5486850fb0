#include <core/sync/messages.h>

#include <algorithm>

namespace chockside::sync {

using json::Value;

namespace {

bool lower_hex(std::string_view t, std::size_t size)
{
    return t.size() == size && std::all_of(t.begin(), t.end(), [](char c) { return (c >= '0' && c <= '9') || (c >= 'a' && c <= 'f'); });
}

/// Members of one object, each with its shape; the first that is not as it must be is named.
class Members {
public:
    explicit Members(std::string_view text, std::size_t most = limits::message)
    {
        json::ReadLimits narrow;
        narrow.bytes = most;
        narrow.depth = limits::depth;
        narrow.refuse_floats = true;
        auto read = json::read(text, narrow);
        if (read && read->is_object()) v_ = std::move(*read);
        else miss("");
    }
    explicit Members(const Value& v) : v_(v)
    {
        if (!v.is_object()) miss("");
    }

    const Value& operator[](const char* key) const { return v_[key]; }
    bool has(const char* key) const { return v_.has(key); }
    std::string text(const char* key, std::size_t most = 4096)
    {
        if (!v_[key].is_text() || v_[key].as_text().size() > most) miss(key);
        return v_[key].as_text();
    }
    std::string hex(const char* key, std::size_t digits)
    {
        const std::string t = text(key);
        if (!lower_hex(t, digits)) miss(key);
        return t;
    }
    std::int64_t number(const char* key, std::int64_t least = 0)
    {
        if (v_[key].kind() != json::Kind::integer || v_[key].as_int() < least) miss(key);
        return v_[key].as_int();
    }
    const json::Array& array(const char* key, std::size_t most)
    {
        if (!v_[key].is_array() || v_[key].as_array().size() > most) miss(key);
        return v_[key].as_array();
    }
    const json::Object& object(const char* key, std::size_t most)
    {
        if (!v_[key].is_object() || v_[key].as_object().size() > most) miss(key);
        return v_[key].as_object();
    }
    void miss(const char* key)
    {
        if (!bad_) bad_ = Problem{"message_malformed", key, {}};
    }
    template <class T>
    T take(Result<T> part, const char* key)
    {
        if (!part) miss(key);
        return part ? std::move(*part) : T{};
    }
    template <class T>
    Result<T> give(T value) const
    {
        return bad_ ? Result<T>(Unexpected{*bad_}) : Result<T>(std::move(value));
    }

private:
    Value v_;
    std::optional<Problem> bad_;
};

Value as_json(const Head& h)
{
    return json::Array{h.seq, h.hash};
}

Result<Head> head_of(const Value& v)
{
    const auto& a = v.as_array();
    if (a.size() != 2 || a[0].kind() != json::Kind::integer || a[0].as_int() < 0 || !a[1].is_text()) return fail("message_malformed", "head");
    if (!(a[1].as_text().empty() ? a[0].as_int() == 0 : is_digest(a[1].as_text()))) return fail("message_malformed", "head");
    return Head{a[0].as_int(), a[1].as_text()};
}

Value as_json(const Path& path)
{
    Value v(json::Array{});
    for (const auto& d : path) v.push(to_hex(d));
    return v;
}

Result<Path> path_of(const Value& v)
{
    Path path;
    if (!v.is_array() || v.as_array().size() > 128) return fail("message_malformed", "proof");
    for (const auto& item : v.as_array()) {
        const auto bytes = from_hex(item.as_text());
        if (!bytes || bytes->size() != 32) return fail("message_malformed", "proof");
        std::copy(bytes->begin(), bytes->end(), path.emplace_back().begin());
    }
    return path;
}

Value as_json(const Receipt& r)
{
    return json::Object{{"receiver", r.receiver}, {"epoch", r.epoch}, {"author", r.author}, {"seq", r.seq}, {"hash", r.hash}, {"log_size", r.log_size}, {"log_root", r.log_root}, {"received_at", r.received_at},
        {"signature", r.signature}};
}

Value as_json(const SignedHead& h)
{
    return json::Object{{"what", h.what}, {"receiver", h.receiver}, {"epoch", h.epoch}, {"size", h.size}, {"root", h.root}, {"at", h.at}, {"signature", h.signature}};
}

Value as_json(const Streams& s)
{
    return json::Object{{"receiver", s.receiver}, {"epoch", s.epoch}, {"device", s.device}, {"device_key", s.device_key}, {"broadcast_key", s.broadcast_key}, {"signature", s.signature}};
}

Value as_json(const PushAnswer& p)
{
    Value took(json::Array{});
    for (const Took t : p.entries) took.push(t == Took::stored ? "stored" : "duplicate");
    Value v(json::Object{{"entries", took}});
    if (p.receipt) v.at("receipt") = as_json(*p.receipt);
    return v;
}

Result<Receipt> receipt_of(Members m)
{
    Receipt r;
    r.receiver = m.hex("receiver", 32);
    r.epoch = m.hex("epoch", 32);
    r.author = m.hex("author", 32);
    r.seq = m.number("seq", 1);
    r.hash = m.hex("hash", 64);
    r.log_size = m.number("log_size", 1);
    r.log_root = m.hex("log_root", 64);
    r.received_at = m.number("received_at", INT64_MIN);
    r.signature = m.hex("signature", 128);
    return m.give(std::move(r));
}

Result<SignedHead> signed_head_of(Members m)
{
    SignedHead h;
    h.what = m.text("what", 16);
    h.receiver = m.hex("receiver", 32);
    h.epoch = m.hex("epoch", 32);
    h.size = m.number("size");
    h.root = m.hex("root", 64);
    h.at = m.number("at", INT64_MIN);
    h.signature = m.hex("signature", 128);
    return m.give(std::move(h));
}

Result<Streams> streams_of(Members m)
{
    Streams s;
    s.receiver = m.hex("receiver", 32);
    s.epoch = m.hex("epoch", 32);
    s.device = m.hex("device", 32);
    s.device_key = m.hex("device_key", 64);
    s.broadcast_key = m.hex("broadcast_key", 64);
    s.signature = m.hex("signature", 128);
    return m.give(std::move(s));
}

Result<PushAnswer> push_answer_of(Members m)
{
    PushAnswer p;
    for (const auto& t : m.array("entries", limits::batch_entries)) {
        if (t.as_text() != "stored" && t.as_text() != "duplicate") m.miss("entries");
        p.entries.push_back(t.as_text() == "stored" ? Took::stored : Took::duplicate);
    }
    if (m.has("receipt")) p.receipt = m.take(receipt_of(Members(m["receipt"])), "receipt");
    return m.give(std::move(p));
}

Result<Range> range_of(const Value& v)
{
    const auto& a = v.as_array();
    if (a.size() != 2 || a[0].as_int() < 1 || a[1].as_int() < a[0].as_int()) return fail("message_malformed", "range");
    return Range{a[0].as_int(), a[1].as_int()};
}

template <class Signed>
std::string without_signature(Signed s)
{
    auto members = as_json(s).as_object();
    members.erase("signature");
    return json::write(members);
}

template <class Signed>
void put_signature(Signed& s, trust::Domain domain, const trust::KeyPair& key)
{
    s.signature = to_hex(key.sign(domain, as_bytes(without_signature(s))));
}

template <class Signed>
bool has_signature(const Signed& s, trust::Domain domain, std::string_view key_hex)
{
    const auto key = from_hex(key_hex), signature = from_hex(s.signature);
    return key && signature && trust::author_id(*key) == s.receiver && trust::verify(domain, as_bytes(without_signature(s)), *signature, *key);
}

} // namespace

std::string text(const Receipt& r) { return json::write(as_json(r)); }
std::string text(const SignedHead& h) { return json::write(as_json(h)); }
std::string text(const Streams& s) { return json::write(as_json(s)); }
std::string text(const PushAnswer& p) { return json::write(as_json(p)); }

std::string text(const EnrolRequest& e)
{
    return json::write(json::Object{{"code", e.code}, {"key", e.key}, {"name", e.name}, {"proof", e.proof}});
}

std::string text(const EnrolAnswer& e)
{
    return json::write(json::Object{{"author", e.author}, {"receiver", e.receiver}, {"receiver_key", e.receiver_key}, {"epoch", e.epoch}});
}

std::string text(const NonceAnswer& n)
{
    return json::write(json::Object{{"nonce", n.nonce}, {"receiver", n.receiver}});
}

std::string text(const SessionRequest& s)
{
    return json::write(json::Object{{"author", s.author}, {"nonce", s.nonce}, {"proof", s.proof}, {"sent", s.sent}});
}

std::string text(const SessionAnswer& s)
{
    return json::write(json::Object{{"token", s.token}, {"receiver", s.receiver}, {"epoch", s.epoch}, {"valid_s", s.valid_s}, {"sent", s.sent}, {"received", s.received}, {"answered", s.answered},
        {"schema", json::Array{s.schema_least, s.schema_most}}});
}

std::string text(const HeadsAnswer& h)
{
    Value heads(json::Object{}), lacks(json::Array{});
    for (const auto& [author, head] : h.heads) heads.at(author) = as_json(head);
    for (const auto& r : h.lacks) lacks.push(json::Array{r.first, r.last});
    Value v(json::Object{{"epoch", h.epoch}, {"heads", heads}, {"lacks", lacks}, {"log", as_json(h.log)}, {"streams", as_json(h.streams)}});
    if (h.archive) v.at("archive") = as_json(*h.archive);
    if (h.consistency) v.at("consistency") = as_json(*h.consistency);
    return json::write(v);
}

std::string text(const JobsAnswer& j)
{
    Value jobs(json::Object{});
    for (const auto& [job, authors] : j.jobs) {
        Value& one = jobs.at(job) = json::Object{};
        for (const auto& [author, last] : authors) one.at(author) = last;
    }
    return json::write(json::Object{{"jobs", jobs}, {"more", j.more}});
}

std::string text(const Refusal& r)
{
    Value v(json::Object{{"code", r.code}});
    if (!r.what.empty()) v.at("what") = r.what;
    if (r.code == "gap" || r.code == "fork") v.at("head") = as_json(r.head);
    if (r.index >= 0) v.at("index") = r.index;
    if (r.before) v.at("before") = as_json(*r.before);
    return json::write(v);
}

std::string text(const PullAnswer& p)
{
    Value keys(json::Object{}), index(json::Array{}), proof(json::Array{});
    for (const auto& [author, key] : p.keys) keys.at(author) = key;
    for (const auto at : p.index) index.push(at);
    for (const auto& path : p.proof) proof.push(as_json(path));
    std::string all = json::write(json::Object{{"author", p.author}, {"job", p.job}, {"after", p.after}, {"upto", p.upto}, {"last", p.last}, {"keys", keys}, {"index", index}, {"proof", proof}, {"log", as_json(p.log)}});
    all += '\n';
    for (const auto& l : p.lines) all += text_of(l) + '\n';
    return all;
}

Result<Receipt> receipt_from(std::string_view t) { return receipt_of(Members(t)); }
Result<SignedHead> signed_head_from(std::string_view t) { return signed_head_of(Members(t)); }
Result<Streams> streams_from(std::string_view t) { return streams_of(Members(t)); }
Result<PushAnswer> push_answer_from(std::string_view t) { return push_answer_of(Members(t)); }

Result<EnrolRequest> enrol_request_from(std::string_view t)
{
    Members m(t, 16384);
    EnrolRequest e{m.hex("code", 32), m.hex("key", 64), m.text("name", 100), m.hex("proof", 128)};
    return m.give(std::move(e));
}

Result<EnrolAnswer> enrol_answer_from(std::string_view t)
{
    Members m(t);
    EnrolAnswer e{m.hex("author", 32), m.hex("receiver", 32), m.hex("receiver_key", 64), m.hex("epoch", 32)};
    return m.give(std::move(e));
}

Result<NonceAnswer> nonce_answer_from(std::string_view t)
{
    Members m(t);
    NonceAnswer n{m.text("nonce", 512), m.hex("receiver", 32)};
    return m.give(std::move(n));
}

Result<SessionRequest> session_request_from(std::string_view t)
{
    Members m(t, 16384);
    SessionRequest s{m.hex("author", 32), m.text("nonce", 512), m.hex("proof", 128), m.number("sent", INT64_MIN)};
    return m.give(std::move(s));
}

Result<SessionAnswer> session_answer_from(std::string_view t)
{
    Members m(t);
    SessionAnswer s;
    s.token = m.hex("token", 64);
    s.receiver = m.hex("receiver", 32);
    s.epoch = m.hex("epoch", 32);
    s.valid_s = m.number("valid_s");
    s.sent = m.number("sent", INT64_MIN);
    s.received = m.number("received", INT64_MIN);
    s.answered = m.number("answered", INT64_MIN);
    if (const auto& schema = m.array("schema", 2); schema.size() == 2) s.schema_least = static_cast<int>(schema[0].as_int()), s.schema_most = static_cast<int>(schema[1].as_int());
    return m.give(std::move(s));
}

Result<HeadsAnswer> heads_answer_from(std::string_view t)
{
    Members m(t);
    HeadsAnswer h;
    h.epoch = m.hex("epoch", 32);
    for (const auto& [author, head] : m.object("heads", 16)) {
        if (!is_author(author)) m.miss("heads");
        h.heads[author] = m.take(head_of(head), "heads");
    }
    for (const auto& r : m.array("lacks", 1000)) h.lacks.push_back(m.take(range_of(r), "lacks"));
    h.log = m.take(signed_head_of(Members(m["log"])), "log");
    h.streams = m.take(streams_of(Members(m["streams"])), "streams");
    if (m.has("archive")) h.archive = m.take(signed_head_of(Members(m["archive"])), "archive");
    if (m.has("consistency")) h.consistency = m.take(path_of(m["consistency"]), "consistency");
    return m.give(std::move(h));
}

Result<JobsAnswer> jobs_answer_from(std::string_view t)
{
    Members m(t);
    JobsAnswer j;
    for (const auto& [job, authors] : m.object("jobs", 500)) {
        auto& one = j.jobs[job];
        for (const auto& [author, last] : authors.as_object()) {
            if (!is_author(author) || last.as_int() < 1) m.miss("jobs");
            one[author] = last.as_int();
        }
    }
    j.more = m["more"].as_bool();
    return m.give(std::move(j));
}

Result<Refusal> refusal_from(std::string_view t)
{
    Members m(t);
    Refusal r;
    r.code = m.text("code", 64);
    r.what = m["what"].as_text();
    if (m.has("head")) r.head = m.take(head_of(m["head"]), "head");
    r.index = m["index"].as_int(-1);
    if (m.has("before")) r.before = m.take(push_answer_of(Members(m["before"])), "before");
    return m.give(std::move(r));
}

Result<PullAnswer> pull_answer_from(std::string_view t)
{
    if (t.size() > limits::answer) return fail("message_malformed", "size");
    const auto end = t.find('\n');
    Members m(t.substr(0, end));
    PullAnswer p;
    p.author = m.hex("author", 32);
    p.job = m["job"].as_text();
    p.after = m.number("after");
    p.upto = m.number("upto");
    p.last = m.number("last");
    for (const auto& [author, key] : m.object("keys", limits::batch_entries)) p.keys[author] = key.as_text();
    for (const auto& at : m.array("index", limits::batch_entries)) p.index.push_back(at.as_int(-1));
    for (const auto& path : m.array("proof", limits::batch_entries)) p.proof.push_back(m.take(path_of(path), "proof"));
    p.log = m.take(signed_head_of(Members(m["log"])), "log");
    if (end == std::string_view::npos) m.miss("lines");
    else p.lines = m.take(lines_from(t.substr(end + 1)), "lines");
    if (p.index.size() != p.lines.size() || p.proof.size() != p.lines.size() || p.upto < p.after) m.miss("lines");
    return m.give(std::move(p));
}

void sign(Receipt& r, const trust::KeyPair& key) { put_signature(r, trust::Domain::receipt, key); }
void sign(SignedHead& h, const trust::KeyPair& key) { put_signature(h, trust::Domain::head, key); }
void sign(Streams& s, const trust::KeyPair& key) { put_signature(s, trust::Domain::enrolment, key); }
bool holds(const Receipt& r, std::string_view key) { return has_signature(r, trust::Domain::receipt, key); }
bool holds(const SignedHead& h, std::string_view key) { return has_signature(h, trust::Domain::head, key); }
bool holds(const Streams& s, std::string_view key) { return has_signature(s, trust::Domain::enrolment, key); }

std::string enrolment_statement(const std::string& code, const std::string& key, const std::string& receiver)
{
    return json::write(json::Object{{"code", code}, {"key", key}, {"receiver", receiver}});
}

std::string session_statement(const std::string& author, const std::string& nonce, const std::string& receiver)
{
    return json::write(json::Object{{"author", author}, {"nonce", nonce}, {"receiver", receiver}});
}

std::string content_digest(std::string_view body)
{
    return "sha-256=:" + to_base64(trust::sha256(as_bytes(body))) + ":";
}

bool digest_holds(const Headers& headers, std::string_view body)
{
    const std::string& given = header(headers, "content-digest");
    const auto at = given.find("sha-256=:");
    return at != std::string::npos && (at == 0 || given[at - 1] == ' ' || given[at - 1] == ',') && given.compare(at, 54, content_digest(body)) == 0;
}

std::string heads_target(std::int64_t size, const std::string& epoch)
{
    return size > 0 ? "/v1/heads?size=" + std::to_string(size) + "&epoch=" + epoch : std::string("/v1/heads");
}

namespace {

std::string escaped(std::string_view text)
{
    std::string out;
    for (const char c : text) {
        const bool plain = (c >= '0' && c <= '9') || (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || c == '-' || c == '_' || c == '.';
        if (plain) out += c;
        else out += '%' + to_hex(as_bytes({&c, 1}));
    }
    return out;
}

} // namespace

std::string jobs_target(const std::string& after)
{
    return "/v1/jobs" + (after.empty() ? std::string() : "?after=" + escaped(after));
}

std::string push_target(const std::string& author, Range r)
{
    return "/v1/authors/" + author + "/entries/" + std::to_string(r.first) + "-" + std::to_string(r.last);
}

std::string pull_target(const std::string& author, std::int64_t after, const std::string& job, int wait_s)
{
    std::string t = "/v1/authors/" + author + "/entries?after=" + std::to_string(after) + "&limit=200";
    if (!job.empty()) t += "&job=" + escaped(job);
    return wait_s ? t + "&wait=" + std::to_string(wait_s) : t;
}

bool is_author(std::string_view t) { return lower_hex(t, 32); }
bool is_digest(std::string_view t) { return lower_hex(t, 64); }

} // namespace chockside::sync
