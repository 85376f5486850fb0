#pragma once

#include <core/journal/entry.h>
#include <core/trust/trust.h>

#include <optional>
#include <span>

namespace chockside::journal {

/// SHA-256("body/1\0" || salt || body), hex.
std::string body_digest(ByteView salt, std::string_view body);
/// SHA-256("entry/1\0" || envelope bytes), hex.
std::string entry_hash(std::string_view envelope_bytes);

json::Value to_json(const Envelope&);
/// Code: entry_malformed (place: the member).
Result<Envelope> envelope_from(const json::Value&);

/// Makes an entry out of an envelope and a body. The writer is narrow: whole numbers within 2^53-1, decimals as text, ASCII keys,
/// depth 16, 64 KiB. Code: entry_refused (what).
Result<Entry> seal(Envelope, const json::Value& body, const trust::KeyPair&, Random&);
/// An entry out of its stored bytes; believes nothing beyond their shape. Code: entry_malformed.
Result<Entry> open_entry(std::string envelope_bytes, std::string hash, std::string signature, std::string salt, std::string body_bytes);

struct FirstBad {
    std::string author;
    std::int64_t seq = 0;
    std::string reason; ///< malformed not_canonical hash signature body key gap prev duplicate fork
};

struct VerifyReport {
    std::int64_t entries = 0;
    bool ok = true;
    std::optional<FirstBad> first_bad;
};

/// Trusts nothing: canonical bytes, digests, signatures by the given keys (author -> public key hex), dense chains per author, no forks.
/// `whole` false: entries of one job only, whose authors' sequence numbers may leave places for other jobs.
VerifyReport verify(std::span<const Entry>, const std::map<std::string, std::string>& keys, bool whole = true);

} // namespace chockside::journal
