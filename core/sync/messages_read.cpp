// What is read: every member has its shape, and the first that is not as it must be is named.
#include <core/sync/detail/hex.h>
#include <core/sync/messages.h>

namespace chockside::sync {

using json::Value;

namespace {

/// Members of one object.
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

Result<Head> head_of(const Value& v)
{
    const auto& a = v.as_array();
    if (a.size() != 2 || a[0].kind() != json::Kind::integer || a[0].as_int() < 0 || !a[1].is_text()) return fail("message_malformed", "head");
    if (!(a[1].as_text().empty() ? a[0].as_int() == 0 : is_digest(a[1].as_text()))) return fail("message_malformed", "head");
    return Head{a[0].as_int(), a[1].as_text()};
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

} // namespace

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

} // namespace chockside::sync
