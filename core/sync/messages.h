#pragma once
// Every request and answer of platform/net/PROTOCOL.md as a value, with its text both ways. Readers look at sizes first, take canonical
// JSON only in the members they know, and ignore members they do not. Code of every reader: message_malformed (place: the member).

#include <core/sync/http.h>
#include <core/sync/line.h>
#include <core/sync/proof.h>

#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <vector>

namespace chockside::sync {

/// End of an author's chain; seq 0 and an empty hash where there is none.
struct Head {
    std::int64_t seq = 0;
    std::string hash; ///< hex
    bool operator==(const Head&) const = default;
};
using Heads = std::map<std::string, Head>;

/// Numbers first..last of one author.
struct Range {
    std::int64_t first = 0, last = 0;
    bool operator==(const Range&) const = default;
};

/// Root of the receiver's log, signed by it (Domain::head over the canonical text without "signature"). what: "head", or "archive": all
/// below `size` is in a backup that was verified.
struct SignedHead {
    std::string what = "head", receiver, epoch;
    std::int64_t size = 0;
    std::string root;            ///< hex
    std::int64_t at = 0;         ///< receiver's UTC, ms; for people
    std::string signature;       ///< hex
    bool operator==(const SignedHead&) const = default;
};

/// What makes an entry "at the shop" (Domain::receipt, like SignedHead).
struct Receipt {
    std::string receiver, epoch, author;
    std::int64_t seq = 0;
    std::string hash;
    std::int64_t log_size = 0;
    std::string log_root;
    std::int64_t received_at = 0;
    std::string signature;
    bool operator==(const Receipt&) const = default;
};

/// The shop's own authors in this epoch (Domain::enrolment): who writes to this device, and who to all.
struct Streams {
    std::string receiver, epoch, device;
    std::string device_key, broadcast_key; ///< public keys, hex; their authors are trust::author_id
    std::string signature;
    bool operator==(const Streams&) const = default;
};

struct EnrolRequest {
    std::string code;  ///< 32 hex digits, as the shop showed it
    std::string key;   ///< public key of the device, hex
    std::string name;  ///< what the shop calls the device, up to 100 bytes
    std::string proof; ///< hex; Domain::enrolment over {"code","key","receiver"}
};
struct EnrolAnswer {
    std::string author, receiver, receiver_key, epoch;
};
struct NonceAnswer {
    std::string nonce, receiver;
};
struct SessionRequest {
    std::string author, nonce;
    std::string proof;      ///< hex; Domain::session over {"author","nonce","receiver"}
    std::int64_t sent = 0;  ///< the device's UTC, ms: given back, never judged
};
struct SessionAnswer {
    std::string token; ///< 64 hex digits
    std::string receiver, epoch;
    std::int64_t valid_s = 0;
    std::int64_t sent = 0, received = 0, answered = 0; ///< UTC, ms: with the time of arrival the four of an offset
    int schema_least = 1, schema_most = 1;
};
struct HeadsAnswer {
    std::string epoch;
    Heads heads;                     ///< own, the device's stream, the broadcast stream
    std::vector<Range> lacks;        ///< own entries that are there without their body, at most 1000 ranges
    SignedHead log;
    std::optional<SignedHead> archive;
    std::optional<Path> consistency; ///< where ?size was asked for and the epoch is the asked one
    Streams streams;
};
/// Jobs of the device in which others write, and how far.
struct JobsAnswer {
    std::map<std::string, std::map<std::string, std::int64_t>> jobs;
    bool more = false;               ///< ask again after the last one
};
enum class Took { stored, duplicate };
struct PushAnswer {
    std::vector<Took> entries;
    std::optional<Receipt> receipt;  ///< absent only in a refusal with nothing before it
};
/// Any answer that is not 2xx. Members that do not belong to the code are absent.
struct Refusal {
    std::string code, what, hash;
    Head head;                       ///< gap: what the receiver has
    std::int64_t index = -1;         ///< bad_entry: number within the batch, from 0
    std::optional<PushAnswer> before; ///< what of the batch was stored all the same
};
/// Entries with what makes them believable: first a line of JSON, then lines.
struct PullAnswer {
    std::string author, job;
    std::int64_t after = 0, upto = 0; ///< everything of that author (in that job) in after+1..upto is in here
    std::int64_t last = 0;            ///< how far there is more
    std::map<std::string, std::string> keys;
    std::vector<std::int64_t> index;  ///< of each line in the log
    std::vector<Path> proof;          ///< of each line, against `log`
    SignedHead log;
    std::vector<Line> lines;
};

// Text both ways. text() is canonical JSON (RFC 8785).
std::string text(const Receipt&);
std::string text(const SignedHead&);
std::string text(const Streams&);
std::string text(const EnrolRequest&);
std::string text(const EnrolAnswer&);
std::string text(const NonceAnswer&);
std::string text(const SessionRequest&);
std::string text(const SessionAnswer&);
std::string text(const HeadsAnswer&);
std::string text(const JobsAnswer&);
std::string text(const PushAnswer&);
std::string text(const Refusal&);
std::string text(const PullAnswer&);
Result<Receipt> receipt_from(std::string_view);
Result<SignedHead> signed_head_from(std::string_view);
Result<Streams> streams_from(std::string_view);
Result<EnrolRequest> enrol_request_from(std::string_view);
Result<EnrolAnswer> enrol_answer_from(std::string_view);
Result<NonceAnswer> nonce_answer_from(std::string_view);
Result<SessionRequest> session_request_from(std::string_view);
Result<SessionAnswer> session_answer_from(std::string_view);
Result<HeadsAnswer> heads_answer_from(std::string_view);
Result<JobsAnswer> jobs_answer_from(std::string_view);
Result<PushAnswer> push_answer_from(std::string_view);
Result<Refusal> refusal_from(std::string_view);
Result<PullAnswer> pull_answer_from(std::string_view);

// What is signed, and how it is checked. The signer sets `signature`.
void sign(Receipt&, const trust::KeyPair&);
void sign(SignedHead&, const trust::KeyPair&);
void sign(Streams&, const trust::KeyPair&);
bool holds(const Receipt&, std::string_view receiver_key_hex);
bool holds(const SignedHead&, std::string_view receiver_key_hex);
bool holds(const Streams&, std::string_view receiver_key_hex);
/// The statement under an EnrolRequest's or SessionRequest's proof.
std::string enrolment_statement(const std::string& code, const std::string& key, const std::string& receiver);
std::string session_statement(const std::string& author, const std::string& nonce, const std::string& receiver);

/// RFC 9530: "sha-256=:BASE64:".
std::string content_digest(std::string_view body);
/// True where the header is there and names the body's SHA-256 (other algorithms beside it are passed over).
bool digest_holds(const Headers&, std::string_view body);

/// Where each request goes; a job is percent-encoded.
std::string heads_target(std::int64_t size, const std::string& epoch);
std::string jobs_target(const std::string& after);
std::string push_target(const std::string& author, Range);
std::string pull_target(const std::string& author, std::int64_t after, const std::string& job, std::size_t most = limits::batch_entries, int wait_s = 0);

/// 32 lower-case hex digits.
bool is_author(std::string_view);
/// 64 lower-case hex digits.
bool is_digest(std::string_view);

} // namespace chockside::sync
