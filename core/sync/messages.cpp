// What is written: messages as text, signatures, addresses.
#include <core/sync/detail/hex.h>
#include <core/sync/messages.h>

namespace chockside::sync {

using json::Value;

namespace {

Value as_json(const Head& h)
{
    return json::Array{h.seq, h.hash};
}

Value as_json(const Path& path)
{
    Value v(json::Array{});
    for (const auto& d : path) v.push(to_hex(d));
    return v;
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

std::string pull_target(const std::string& author, std::int64_t after, const std::string& job, std::size_t most, int wait_s)
{
    std::string t = "/v1/authors/" + author + "/entries?after=" + std::to_string(after) + "&limit=" + std::to_string(most);
    if (!job.empty()) t += "&job=" + escaped(job);
    return wait_s ? t + "&wait=" + std::to_string(wait_s) : t;
}

bool is_author(std::string_view t) { return lower_hex(t, 32); }
bool is_digest(std::string_view t) { return lower_hex(t, 64); }

} // namespace chockside::sync
