#pragma once
// What the tablet's end keeps: its own chain is the outbox, and positions stand beside the entries that they count, in one transaction.

#include <core/sync/messages.h>

#include <map>
#include <optional>
#include <set>
#include <string>
#include <vector>

namespace chockside::sync {

/// The shop, as the enrolment named it.
struct Account {
    std::string receiver, receiver_key; ///< hex
    std::string url;
    std::vector<std::string> pins;      ///< base64 of SHA-256 of a SubjectPublicKeyInfo
    bool enrolled = false;
    std::string code;                   ///< until enrolled
    bool operator==(const Account&) const = default;
};

struct Place {
    std::string author, job; ///< job is empty for the shop's streams
    auto operator<=>(const Place&) const = default;
};

/// How far the entries of a place were taken in; the hash is that of the entry at `seq`.
using Position = Head;

/// Everything small that the engine knows across a restart.
struct Known {
    Account account;
    std::string epoch;
    std::optional<Receipt> receipt;     ///< the newest of this epoch: `acked` is its seq
    std::int64_t log_size = 0;          ///< largest signed state of the log that was seen in this epoch
    std::string log_root;
    std::int64_t archive = 0;           ///< log size of the last archive mark
    std::int64_t archived = 0;          ///< own entries up to here are in a verified backup
    std::optional<Streams> streams;
    bool went_back = false;             ///< the shop's records went back at least once; older receipts are kept
    std::string stopped;                ///< why nothing is pushed any more: fork, ahead, bad_entry, too_long, revoked, ...
    std::map<Place, Position> positions;
    std::map<std::string, std::string> uploads; ///< sha256 -> where its upload goes on
};

/// One durable step; members that are absent change nothing.
struct Change {
    std::optional<Account> account;
    std::optional<std::string> epoch;         ///< begins anew: receipt, log, streams and what is known of blobs belong to the old one
    std::optional<Receipt> receipt;           ///< kept for ever; the newest counts
    std::optional<std::pair<std::int64_t, std::string>> log;
    std::optional<std::int64_t> archive;      ///< log size of a signed archive mark: what receipts up to it cover is archived
    std::optional<Streams> streams;
    std::optional<bool> went_back;
    std::optional<std::string> stopped;
    std::optional<std::pair<Place, Position>> position;
    std::vector<Line> lines;                  ///< entries of others, verified
    std::map<std::string, std::string> keys;  ///< their authors' public keys
    std::vector<std::string> blobs_there;     ///< at the shop
    std::optional<std::pair<std::string, std::string>> upload; ///< sha256, location; empty location: over
    bool operator==(const Change&) const = default;
};

struct Blob {
    std::string sha256, media;
    std::int64_t size = 0;
};

class TabletStore {
public:
    virtual ~TabletStore() = default;
    virtual std::string author() = 0;
    virtual std::string public_key() = 0;                                  ///< hex
    virtual Bytes sign(trust::Domain, ByteView message) = 0;               ///< with the device's key
    virtual bool unlocked() = 0;                                           ///< bodies can be read
    virtual Result<Head> own_head() = 0;
    /// In order, from after+1; as many as fit, at least one where there is one. A body that can't be read now is empty.
    virtual Result<std::vector<Line>> own_lines(std::int64_t after, std::size_t most, std::size_t most_bytes) = 0;
    virtual Result<std::string> own_hash(std::int64_t seq) = 0;            ///< code: not_found
    virtual Result<Known> known() = 0;
    /// All or nothing, and durable. An entry that is here already is passed over; one that the journal can't hold is kept aside, byte for byte.
    /// Codes: disk_full, io_error (outcome unknown: ask known()), fork (place author/seq: another entry stands there; nothing was changed).
    virtual Status apply(const Change&) = 0;
    /// Attachments that own entries name, that are here and not known to be at the shop; in order of the entries.
    virtual Result<std::vector<Blob>> blobs_to_send(std::size_t most) = 0;
    virtual Result<Bytes> read_blob(const std::string& sha256, std::int64_t offset, std::size_t most) = 0;
    /// Attachments that entries from the shop name and that are not here.
    virtual Result<std::vector<std::string>> blobs_wanted(std::size_t most) = 0;
    virtual Status put_blob(const std::string& sha256, ByteView) = 0;
};

} // namespace chockside::sync
