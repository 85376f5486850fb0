#include <core/journal/seal.h>

#include <algorithm>

namespace chockside::journal {

namespace {

using json::Value;
constexpr std::int64_t safe_integer = (std::int64_t{1} << 53) - 1;

constexpr int depth_most = 16;
constexpr std::size_t body_most = 65536;
constexpr std::size_t envelope_most = 65536;

Unexpected<Problem> refused(const char* what, std::string place = {})
{
    return fail("entry_refused", std::move(place), {{"what", what}});
}

Status narrow_text(const std::string& text)
{
    if (text.find('\0') != std::string::npos) return refused("nul");
    return is_utf8(text) ? Status{} : Status(refused("utf8"));
}

bool narrow_key(const std::string& key)
{
    return std::none_of(key.begin(), key.end(), [](char c) { return static_cast<unsigned char>(c) >= 0x80 || c == 0; });
}

Status narrow(const Value& v, int depth)
{
    if (depth > depth_most) return refused("depth");
    if (v.kind() == json::Kind::real) return refused("fraction");
    if (v.kind() == json::Kind::integer && (v.as_int() > safe_integer || v.as_int() < -safe_integer)) return refused("integer");
    if (v.is_text()) return narrow_text(v.as_text());
    for (const Value& item : v.as_array())
        if (auto ok = narrow(item, depth + 1); !ok) return ok;
    for (const auto& [key, member] : v.as_object()) {
        if (!narrow_key(key)) return refused("key", key);
        if (auto ok = narrow(member, depth + 1); !ok) return ok;
    }
    return {};
}

std::string digest(std::string_view prefix, std::initializer_list<ByteView> parts)
{
    trust::Sha256 sha;
    sha.add(as_bytes(prefix));
    for (const ByteView part : parts) sha.add(part);
    return to_hex(sha.done());
}

using namespace std::string_view_literals;

} // namespace

std::string body_digest(ByteView salt, std::string_view body)
{
    return digest("body/1\0"sv, {salt, as_bytes(body)});
}

std::string entry_hash(std::string_view envelope_bytes)
{
    return digest("entry/1\0"sv, {as_bytes(envelope_bytes)});
}

Value to_json(const Envelope& e)
{
    Value v(json::Object{});
    v.at("v") = e.v;
    v.at("author") = e.author;
    v.at("seq") = e.seq;
    v.at("prev") = e.prev;
    v.at("job") = e.job;
    Value seen(json::Object{});
    for (const auto& [author, seq] : e.seen) seen.at(author) = seq;
    v.at("seen") = seen;
    v.at("kind") = e.kind;
    v.at("schema") = e.schema;
    v.at("body_sha") = e.body_sha;
    Value att(json::Array{});
    for (const auto& a : e.att) att.push(a);
    v.at("att") = att;
    v.at("person") = e.person;
    v.at("meaning") = e.meaning;
    v.at("wall") = e.wall;
    v.at("boot") = e.boot;
    v.at("mono") = e.mono;
    v.at("clk") = e.clk;
    return v;
}

Result<Envelope> envelope_from(const Value& v)
{
    for (const char* key : {"author", "job", "kind", "body_sha", "boot"})
        if (!v[key].is_text()) return fail("entry_malformed", key);
    Envelope e;
    e.v = static_cast<int>(v["v"].as_int());
    e.author = v["author"].as_text();
    e.seq = v["seq"].as_int();
    e.prev = v["prev"].as_text();
    e.job = v["job"].as_text();
    for (const auto& [author, seq] : v["seen"].as_object()) e.seen[author] = seq.as_int();
    e.kind = v["kind"].as_text();
    e.schema = static_cast<int>(v["schema"].as_int());
    e.body_sha = v["body_sha"].as_text();
    for (const Value& a : v["att"].as_array()) e.att.push_back(a.as_text());
    e.person = v["person"].as_text();
    e.meaning = v["meaning"].as_text();
    e.wall = v["wall"].as_int();
    e.boot = v["boot"].as_text();
    e.mono = v["mono"].as_int();
    e.clk = v["clk"];
    if (e.seq < 1) return fail("entry_malformed", "seq");
    return e;
}

Result<Entry> seal(Envelope envelope, const Value& body, const trust::KeyPair& key, Random& random)
{
    if (envelope.author != trust::author_id(key.public_key())) return refused("author");
    if (auto ok = narrow(body, 0); !ok) return Unexpected{ok.error()};
    Entry e;
    e.body = body;
    e.body_bytes = json::write(body);
    if (e.body_bytes.size() > body_most) return refused("size");
    Bytes salt(32);
    random.fill(salt);
    e.salt = to_hex(salt);
    envelope.body_sha = body_digest(salt, e.body_bytes);
    const Value stated = to_json(envelope);
    if (auto ok = narrow(stated, 0); !ok) return Unexpected{ok.error()};
    e.envelope_bytes = json::write(stated);
    if (e.envelope_bytes.size() > envelope_most) return refused("size");
    e.envelope = std::move(envelope);
    e.hash = entry_hash(e.envelope_bytes);
    e.signature = to_hex(key.sign(trust::Domain::entry, *from_hex(e.hash)));
    return e;
}

Result<Entry> open_entry(std::string envelope_bytes, std::string hash, std::string signature, std::string salt, std::string body_bytes)
{
    json::ReadLimits limits;
    limits.refuse_floats = true;
    auto parsed = json::read(envelope_bytes, limits);
    if (!parsed) return fail("entry_malformed", "envelope");
    auto envelope = envelope_from(*parsed);
    if (!envelope) return Unexpected{envelope.error()};
    Entry e;
    if (!body_bytes.empty()) {
        auto body = json::read(body_bytes, limits);
        if (!body) return fail("entry_malformed", "body");
        e.body = std::move(*body);
    }
    e.envelope = std::move(*envelope);
    e.envelope_bytes = std::move(envelope_bytes);
    e.hash = std::move(hash);
    e.signature = std::move(signature);
    e.salt = std::move(salt);
    e.body_bytes = std::move(body_bytes);
    return e;
}

} // namespace chockside::journal
