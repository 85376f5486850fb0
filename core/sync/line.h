#pragma once
// One entry as it travels: the exact bytes of envelope and body, tab between, never written anew by anybody.

#include <core/base/bytes.h>
#include <core/base/result.h>
#include <core/journal/entry.h>

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

namespace chockside::sync {

namespace limits {
constexpr std::size_t envelope = 65536;         ///< bytes
constexpr std::size_t body = 65536;             ///< bytes
constexpr std::size_t line = envelope + body + 200;
constexpr std::size_t batch_entries = 200;
constexpr std::size_t batch_bytes = 1u << 20;
constexpr int depth = 32;                       ///< of any JSON text that is read
constexpr std::size_t message = 1u << 20;       ///< a JSON request or answer
constexpr std::size_t answer = 4u << 20;        ///< an answer with lines
} // namespace limits

/// envelope TAB signature TAB salt TAB body. Envelope and body are JSON without raw control characters, so neither a tab nor a line
/// break can stand in them; signature (64 bytes) and salt (32) are base64 with padding, one spelling only. A body withheld: salt and body
/// are empty, the tabs stay.
struct Line {
    std::string envelope;
    std::string signature; ///< hex, as journal::Entry has it
    std::string salt;      ///< hex; empty when withheld
    std::string body;      ///< empty when withheld
    bool operator==(const Line&) const = default;
};

/// Without a line break.
std::string text_of(const Line&);
/// Looks at sizes and shape before anything is read further. Codes: line_malformed (what: fields, control, base64, salt), line_too_long.
Result<Line> line_from(std::string_view text);
/// Every line of a body that ends each with one line break. Codes: those of line_from (place: its number from 0), too_many.
Result<std::vector<Line>> lines_from(std::string_view text, std::size_t most = limits::batch_entries);

Line line_of(const journal::Entry&);
/// Believes nothing; a strange entry has what could be read of it. Code: entry_malformed.
Result<journal::Entry> entry_of(const Line&);

/// What the order of chains needs of an envelope; everything else may be strange.
struct Stated {
    std::string author;
    std::int64_t seq = 0;
    std::string prev;
    std::string job;
    std::string body_sha;
    std::vector<std::string> att; ///< only what is 64 hex digits
    std::string hash;             ///< journal::entry_hash of the envelope
    bool strange = false;         ///< not canonical, unknown v, odd members: kept, and flagged
};
/// Code: entry_malformed (place: the member): no JSON object within the limits, or author, seq, prev, job or body_sha are not what they must be
/// (a job with U+0000 too).
Result<Stated> stated(std::string_view envelope);

/// A public key and whose it is, worked out once for many lines.
struct AuthorKey {
    /// No author where it is no hex.
    explicit AuthorKey(std::string_view hex);
    Bytes bytes;
    std::string author;
};

/// What forbids an entry under a key: empty, or "malformed", "author" (the key is not its author's), "signature", "body" (a body that is
/// here has not the digest the envelope names).
std::string flaw(const Line&, const Result<Stated>&, const AuthorKey&);

} // namespace chockside::sync
