#include <core/journal/seal.h>

#include <algorithm>

namespace chockside::journal {

namespace {

using json::Value;
constexpr std::int64_t safe_integer = (std::int64_t{1} << 53) - 1;

Status narrow(const Value& v, int depth)
{
    if (depth > 16) return fail("entry_refused", "", {{"what", "depth"}});
    if (v.kind() == json::Kind::real) return fail("entry_refused", "", {{"what", "fraction"}});
    if (v.kind() == json::Kind::integer && (v.as_int() > safe_integer || v.as_int() < -safe_integer)) return fail("entry_refused", "", {{"what", "integer"}});
    for (const Value& item : v.as_array())
        if (auto ok = narrow(item, depth + 1); !ok) return ok;
    for (const auto& [key, member] : v.as_object()) {
        if (std::any_of(key.begin(), key.end(), [](char c) { return static_cast<unsigned char>(c) >= 0x80 || c == 0; })) return fail("entry_refused", key, {{"what", "key"}});
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
    if (auto ok = narrow(body, 0); !ok) return Unexpected{ok.error()};
    Entry e;
    e.body = body;
    e.body_bytes = json::write(body);
    if (e.body_bytes.size() > 65536) return fail("entry_refused", "", {{"what", "size"}});
    Bytes salt(32);
    random.fill(salt);
    e.salt = to_hex(salt);
    envelope.body_sha = body_digest(salt, e.body_bytes);
    e.envelope_bytes = json::write(to_json(envelope));
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

namespace {

std::string flaw(const Entry& e, const std::map<std::string, std::string>& keys)
{
    auto parsed = json::read(e.envelope_bytes);
    if (!parsed || !envelope_from(*parsed)) return "malformed";
    if (json::write(*parsed) != e.envelope_bytes) return "not_canonical";
    const Envelope stated = *envelope_from(*parsed);
    if (json::write(to_json(stated)) != e.envelope_bytes || json::write(to_json(e.envelope)) != e.envelope_bytes) return "not_canonical";
    if (entry_hash(e.envelope_bytes) != e.hash) return "hash";
    const auto key = keys.find(e.envelope.author);
    const auto public_key = key == keys.end() ? std::nullopt : from_hex(key->second);
    if (!public_key || trust::author_id(*public_key) != e.envelope.author) return "key";
    const auto signature = from_hex(e.signature), hash = from_hex(e.hash);
    if (!signature || !trust::verify(trust::Domain::entry, *hash, *signature, *public_key)) return "signature";
    if (e.body_bytes.empty()) return {}; // withheld: the envelope stands alone
    const auto salt = from_hex(e.salt);
    if (!salt || to_hex(*salt) != e.salt || to_hex(*signature) != e.signature || body_digest(*salt, e.body_bytes) != e.envelope.body_sha) return "body";
    return {};
}

} // namespace

VerifyReport verify(std::span<const Entry> entries, const std::map<std::string, std::string>& keys, bool whole)
{
    VerifyReport report;
    std::map<std::string, std::vector<const Entry*>> chains;
    const auto bad = [&](const Entry& e, std::string reason) {
        report.ok = false;
        if (!report.first_bad) report.first_bad = FirstBad{e.envelope.author, e.envelope.seq, std::move(reason)};
    };
    for (const Entry& e : entries) {
        ++report.entries;
        if (std::string why = flaw(e, keys); !why.empty()) bad(e, std::move(why));
        chains[e.envelope.author].push_back(&e);
    }
    for (auto& [author, chain] : chains) {
        std::sort(chain.begin(), chain.end(), [](const Entry* a, const Entry* b) { return a->envelope.seq < b->envelope.seq; });
        for (std::size_t i = 0; i < chain.size(); ++i) {
            const std::int64_t expected = i ? chain[i - 1]->envelope.seq + 1 : whole ? 1 : chain[0]->envelope.seq;
            if (chain[i]->envelope.seq < expected) bad(*chain[i], chain[i]->hash == chain[i - 1]->hash ? "duplicate" : "fork");
            else if (chain[i]->envelope.seq > expected) {
                if (whole) bad(*chain[i], "gap");
            }
            else if (i && chain[i]->envelope.prev != chain[i - 1]->hash) bad(*chain[i], "prev");
            else if (i == 0 && chain[i]->envelope.seq == 1 && !chain[i]->envelope.prev.empty()) bad(*chain[i], "prev");
        }
    }
    return report;
}

} // namespace chockside::journal
