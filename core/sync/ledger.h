#pragma once
// What the receiver keeps. SQLite, PostgreSQL and the simulated disk implement this and nothing else; all decisions are Receive's.
// One object is one connection, used by one thread at a time.

#include <core/sync/messages.h>

#include <optional>
#include <span>
#include <string>
#include <tuple>
#include <vector>

namespace chockside::sync {

struct Device {
    std::string author;
    std::string key;              ///< hex
    std::string name;
    std::int64_t enrolled_at = 0; ///< receiver's UTC, ms
    std::int64_t revoked_at = 0;  ///< 0: not revoked
    bool operator==(const Device&) const = default;
};

/// A one-time code; only its SHA-256 (hex) is kept.
struct Code {
    std::string hash;
    std::int64_t made_at = 0;
    std::string used_by;          ///< public key, hex; empty: unused
};

struct Session {
    std::string token_hash;       ///< SHA-256 of the token's text, hex
    std::string nonce;            ///< UNIQUE: one session a nonce
    std::string author;
    std::int64_t ends_at = 0;     ///< receiver's UTC, ms
};

struct Stored {
    Line line;
    Stated stated;
    std::int64_t index = 0;       ///< place in the log, from 0; UNIQUE
    std::int64_t received_at = 0; ///< beside the entry, never inside
};

/// A line that can't stand in a chain beside the one that does: kept for people.
struct Quarantined {
    Line line;
    std::string author;
    std::int64_t seq = 0;
    std::string hash, has;        ///< its hash, and the hash of the entry that stands there
    std::int64_t received_at = 0;
};

class Ledger {
public:
    virtual ~Ledger() = default;

    // Transactions. Codes of all: busy (try again: another writer, a serialisation failure), full, io_error, damaged.
    /// `write`: no other connection writes until the end (SQLite BEGIN IMMEDIATE; PostgreSQL a row lock on the log's one row), so that heads and the log's
    /// size that are read stay true. Without it: one snapshot for all reads.
    virtual Status begin(bool write) = 0;
    /// Durable when it is good (FULL; synchronous_commit on). Any error: outcome unknown; the ledger opens a new connection by itself, and all
    /// answers that depend on it become 503.
    virtual Status commit() = 0;
    /// Also after an error; never fails.
    virtual void rollback() = 0;
    /// One level: mark, then back() to it; the next mark() forgets the one before.
    virtual Status mark() = 0;
    virtual Status back() = 0;

    // The receiver. A new epoch begins by restore only.
    virtual Result<std::string> epoch() = 0;                   ///< 32 hex digits
    virtual Status set_epoch(const std::string&) = 0;
    virtual Result<std::int64_t> archived() = 0;               ///< log size of the last backup that was verified
    virtual Status set_archived(std::int64_t size) = 0;

    // Devices, codes, sessions.
    virtual Result<std::optional<Device>> device(const std::string& author) = 0;
    virtual Result<std::vector<Device>> devices() = 0;
    /// Code: exists (another key under that author).
    virtual Status put_device(const Device&) = 0;
    /// Public keys of all authors, the shop's streams too. Code: exists (another key).
    virtual Status put_key(const std::string& author, const std::string& key) = 0;
    virtual Result<std::string> key(const std::string& author) = 0; ///< empty where there is none
    virtual Status set_revoked(const std::string& author, std::int64_t at) = 0;
    virtual Result<std::optional<Code>> code(const std::string& hash) = 0;
    virtual Status put_code(const Code&) = 0;
    virtual Status use_code(const std::string& hash, const std::string& key) = 0;
    /// Code: exists (the nonce has its session).
    virtual Status put_session(const Session&) = 0;
    virtual Result<std::optional<Session>> session(const std::string& token_hash) = 0;
    virtual Status forget_sessions(std::int64_t ended_before) = 0;

    // Chains. UNIQUE(author, seq).
    virtual Result<Head> head(const std::string& author) = 0;  ///< seq 0 where there is none
    /// In order of seq, after `after`, of one job where `job` is not empty; at most `limit`.
    virtual Result<std::vector<Stored>> entries(const std::string& author, const std::string& job, std::int64_t after, std::size_t limit) = 0;
    /// Per author the highest seq in a job.
    virtual Result<journal::Vector> vector_of(const std::string& job) = 0;
    /// Entries that follow each other in the log. Code: exists (UNIQUE(author, seq) or UNIQUE(index)); some may stand then, so the caller goes back.
    virtual Status append(std::span<const Stored>) = 0;
    /// Only where salt and body are empty; else nothing happens.
    virtual Status fill_body(const std::string& author, std::int64_t seq, const std::string& salt, const std::string& body) = 0;
    /// Entries of an author without a body, as ranges in order; at most `most`.
    virtual Result<std::vector<Range>> lacking(const std::string& author, std::size_t most) = 0;
    virtual Status quarantine(const Quarantined&) = 0;         ///< the same hash twice is one
    virtual Result<std::vector<Quarantined>> quarantined() = 0;

    // The log.
    virtual Result<std::int64_t> log_size() = 0;
    virtual Result<Digest> node(NodeName) = 0;                 ///< code: not_found
    virtual Status put_nodes(const std::vector<Node>&) = 0;

    // Who may read what. A device shares a job that it wrote in or that was assigned to it (by an entry of kind "assigned" in its stream).
    virtual Status share(std::span<const std::string> jobs, const std::string& device) = 0; ///< again: nothing
    virtual Result<bool> shares(const std::string& job, const std::string& device) = 0;
    /// Of the jobs that a device shares, after `after` in order of their ids, at most `limit`: (job, author, last seq), all authors of a job
    /// together; those of a device alone are left out.
    virtual Result<std::vector<std::tuple<std::string, std::string, std::int64_t>>> shared(const std::string& device, const std::string& after, std::size_t limit) = 0;
    /// True where an entry in a job that the device shares, in its stream or in the broadcast stream (both are given) names the attachment.
    virtual Result<bool> names_blob(const std::string& device, const std::vector<std::string>& streams, const std::string& sha256) = 0;
};

} // namespace chockside::sync
