#include <core/journal/sign_off.h>
#include <core/journal/verify.h>

#include <algorithm>
#include <set>
#include <tuple>

namespace chockside::journal {

namespace {

using Keys = std::map<std::string, std::string>;

/// Empty where the envelope is the canonical text of what it says.
std::string shape_flaw(const Entry& e)
{
    json::ReadLimits narrow;
    narrow.refuse_floats = true;
    const auto parsed = json::read(e.envelope_bytes, narrow);
    if (!parsed) return "malformed";
    const auto stated = envelope_from(*parsed);
    if (!stated) return "malformed";
    if (stated->v != 1) return "version";
    if (json::write(to_json(*stated)) != e.envelope_bytes || json::write(to_json(e.envelope)) != e.envelope_bytes) return "not_canonical";
    const auto own = stated->seen.find(stated->author);
    return own != stated->seen.end() && own->second >= stated->seq ? "seen" : "";
}

bool holds(ByteView hash, ByteView signature, ByteView public_key)
{
    return trust::verify(trust::Domain::entry, hash, signature, public_key);
}

std::string signature_flaw(const Entry& e, const Keys& keys, const SignatureHolds& signature_holds)
{
    if (entry_hash(e.envelope_bytes) != e.hash) return "hash";
    const auto key = keys.find(e.envelope.author);
    const auto public_key = key == keys.end() ? std::nullopt : from_hex(key->second);
    if (!public_key || to_hex(*public_key) != key->second || trust::author_id(*public_key) != e.envelope.author) return "key";
    const auto signature = from_hex(e.signature);
    // Upper-case digits would be a second spelling of one entry.
    if (!signature || to_hex(*signature) != e.signature) return "signature";
    return signature_holds(*from_hex(e.hash), *signature, *public_key) ? "" : "signature";
}

std::string body_flaw(const Entry& e)
{
    if (e.body_bytes.empty()) return e.salt.empty() ? "" : "body";
    const auto salt = from_hex(e.salt);
    if (!salt || salt->size() != 32 || to_hex(*salt) != e.salt || body_digest(*salt, e.body_bytes) != e.envelope.body_sha) return "body";
    return json::write(e.body) == e.body_bytes ? "" : "not_canonical";
}

std::string flaw(const Entry& e, const Keys& keys, const SignatureHolds& signature_holds)
{
    if (auto why = shape_flaw(e); !why.empty()) return why;
    if (auto why = signature_flaw(e, keys, signature_holds); !why.empty()) return why;
    if (auto why = body_flaw(e); !why.empty() || e.body_bytes.empty() || e.envelope.kind != "sign") return why;
    // An entry without a key says so itself (the guard takes none); one with a key must hold.
    const std::string why = sign_off_flaw(e.envelope.job, e.envelope.person, e.body);
    return why == "unsigned" ? "" : why;
}

/// What is wrong between an entry and the one before it in its author's chain (null for the first that is here).
std::string link_flaw(const Entry& e, const Entry* before, bool dense)
{
    const auto& own = e.envelope;
    if (!before) {
        if (own.seq == 1) return own.prev.empty() ? "" : "prev";
        return dense ? "gap" : "";
    }
    if (own.seq == before->envelope.seq) return e.hash == before->hash ? "duplicate" : "fork";
    if (own.seq > before->envelope.seq + 1) return dense ? "gap" : "";
    return own.prev == before->hash ? "" : "prev";
}

VerifyReport verify_all(std::span<const Entry> entries, const Keys& keys, const std::function<bool(const std::string&)>& dense, const SignatureHolds& signature_holds)
{
    VerifyReport report;
    std::map<std::string, std::vector<const Entry*>> chains;
    const auto bad = [&](const Entry& e, std::string reason) {
        report.ok = false;
        if (!report.first_bad) report.first_bad = FirstBad{e.envelope.author, e.envelope.seq, std::move(reason)};
    };
    for (const Entry& e : entries) {
        ++report.entries;
        report.withheld += e.body_bytes.empty();
        if (std::string why = flaw(e, keys, signature_holds); !why.empty()) bad(e, std::move(why));
        chains[e.envelope.author].push_back(&e);
    }
    for (auto& [author, chain] : chains) {
        std::stable_sort(chain.begin(), chain.end(), [](const Entry* a, const Entry* b) { return a->envelope.seq < b->envelope.seq; });
        const bool whole = dense(author);
        for (std::size_t i = 0; i < chain.size(); ++i)
            if (std::string why = link_flaw(*chain[i], i ? chain[i - 1] : nullptr, whole); !why.empty()) bad(*chain[i], std::move(why));
    }
    return report;
}

} // namespace

VerifyReport verify(std::span<const Entry> entries, const Keys& keys, const std::function<bool(const std::string&)>& dense)
{
    return verify_all(entries, keys, dense, holds);
}

std::optional<FirstBad> missing_entry(std::span<const Entry> entries)
{
    std::set<std::tuple<std::string_view, std::string_view, std::int64_t>> here;
    for (const Entry& e : entries) here.emplace(e.envelope.job, e.envelope.author, e.envelope.seq);
    for (const Entry& e : entries)
        for (const auto& [author, seq] : e.envelope.seen)
            if (!here.contains({e.envelope.job, author, seq})) return FirstBad{author, seq, "missing"};
    return std::nullopt;
}

VerifyReport verify(std::span<const Entry> entries, const Keys& keys, bool whole)
{
    return verify(entries, keys, whole, holds);
}

VerifyReport verify(std::span<const Entry> entries, const Keys& keys, bool whole, const SignatureHolds& signature_holds)
{
    return verify_all(entries, keys, [whole](const std::string&) { return whole; }, signature_holds);
}

} // namespace chockside::journal
