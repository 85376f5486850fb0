#pragma once
// The store: one process, one connection that writes, WAL with synchronous FULL (asserted), no automatic checkpoint, rows that can't be
// changed or deleted. Anything shown as saved was committed first.

#include <core/base/disk.h>
#include <core/base/time.h>
#include <core/journal/verify.h>
#include <core/trust/keeper.h>
#include <core/trust/sealing_disk.h>

#include <memory>
#include <optional>
#include <span>
#include <string>
#include <vector>

namespace chockside::journal {

/// One row of the rebuildable index over jobs.
struct JobRow {
    std::string job, title, tail, status;
    std::int64_t opened_utc_ms = 0, changed_utc_ms = 0;
    int entries = 0;
    bool practice = false;
    /// What else a list shows of it, sealed as title and tail are; the store does not read it.
    json::Value about = {};
};

/// Whether an import may lack entries that others of the same job had seen.
enum class Holes { refused, allowed };

struct ImportReport {
    std::int64_t added = 0;
    std::int64_t already = 0; ///< here before, byte for byte
};

class Exchange;

class Store {
public:
    struct Options {
        std::string folder;
        bool read_only = false;
        /// Kept aside while there is room and given back when the disk is full, so that the last entries still find place.
        std::uint64_t reserve_bytes = 32u << 20;
        /// Names this machine, and is no secret; empty where nothing names it. A store that comes up on another machine is a copy, and a copy
        /// may not write under the same author.
        std::string device = {};
        /// A file outside of the folder that keeps how far the own chain came; empty: none. A store that has come less far was put back
        /// from a backup, and goes on under a new author as well.
        std::string witness = {};
        /// Keeps this device's key where it answers; else the key lies in FOLDER/device.key. May be null, and outlives the store. Where a key
        /// went into the keyring FOLDER/device.in_keyring says so, and a store whose keyring is silent then does not open for writing.
        trust::KeyKeeper* keeper = nullptr;
    };

    /// Opens or makes FOLDER/journal.db and the device key, in the keyring or FOLDER/device.key (0600). A read-only store has no key and takes no lock.
    /// Codes: locked (another process writes), newer_schema, older_schema (read-only), settings_refused, not_found, disk_full, io_error,
    /// damaged, no_permission, bad_key, keyring_silent.
    static Result<std::unique_ptr<Store>> open(Disk&, const Clock&, Random&, Options);
    ~Store();
    Store(const Store&) = delete;
    Store& operator=(const Store&) = delete;

    const std::string& author() const;
    std::string public_key_hex() const;
    /// Whether the system's keyring holds this device's key.
    bool key_in_keyring() const;
    /// "copied", "restored" or "key_lost" (the keyring answers, and has it no more) where this open began a new author for that reason, else
    /// empty.
    const std::string& began_anew() const;

    /// Seals and commits all drafts of one command in one transaction, with the job's index row where one is given; durable before it
    /// returns. A command id repeated within its job answers with the entries of the first call and writes nothing; an empty id is never
    /// a repeat. Codes: disk_full, io_error (nobody was told of the entries; the connection was opened anew; a retry under the same id is
    /// safe), entry_refused, read_only.
    Result<std::vector<Entry>> append(const std::string& job, const std::string& command_id, std::span<const Draft> drafts, const std::optional<JobRow>& row = {});

    /// Shut: somebody's PIN opens this store, and nobody has given it since the start or the last lock(). Appending goes on (under a key
    /// that this process forgets when it ends); bodies read as withheld, jobs without title and tail, attachments as pin_needed.
    bool locked() const;
    /// Code: nobody_has_a_pin (what is locked could never be opened).
    Status lock();
    /// Codes: not_a_holder (place: the public key), bad_seal, io_error.
    Status unlock(const trust::KeyPair& person);
    /// From now on the key of this person (Ed25519, hex) opens the store; from the first one on nothing else does. Codes: pin_needed, bad_key,
    /// those of append().
    Status add_holder(const std::string& public_key_hex);
    /// The first half of a person's change of keys: the new key opens the store beside the old one. Once it has opened it, or with
    /// replace_holder(), the old one is gone; a successor named anew takes the place of one that never did. Where the old one is no holder,
    /// nothing is done. Codes: as add_holder().
    Status add_successor(const std::string& old_hex, const std::string& new_hex);
    /// The second half, after the person's file with the new key is durable: it takes the old one's place. Codes: as add_holder().
    Status replace_holder(const std::string& old_hex, const std::string& new_hex);
    /// Public keys, hex.
    Result<std::vector<std::string>> holders();
    /// Small notes beside the store that only it can read, bound to `about`. Codes: pin_needed, bad_seal, io_error.
    Result<Bytes> seal_note(const std::string& about, ByteView);
    Result<Bytes> unseal_note(const std::string& about, ByteView sealed);
    /// For a thread that seals file after file as they grow; the key's box is durable when it returns. Codes: read_only, io_error.
    Result<std::unique_ptr<trust::SealingDisk>> sealing_disk(Disk& under);
    Result<trust::Unsealed> unseal_file(ByteView file);
    /// The same for another thread. Code: pin_needed. Whoever holds it lets go of it when the store is locked.
    Result<std::shared_ptr<trust::Vault>> reading_vault() const;

    /// Of one job, in causal order. Code: entry_malformed (place: author/seq) where a row does not say what its envelope says.
    Result<std::vector<Entry>> entries(const std::string& job);
    Result<std::vector<Entry>> all_entries();
    /// Of one author's chain, by number, first and last included; those that are not here are passed over. Codes: as entries().
    Result<std::vector<Entry>> chain(const std::string& author, std::int64_t first, std::int64_t last);
    /// Newest first. `search` looks in tail and title.
    Result<std::vector<JobRow>> jobs(std::size_t most = 100, const std::string& search = {});
    Result<std::int64_t> count_jobs();
    /// A durable transaction of its own; append() takes the row along without one.
    Status set_row(const JobRow&);
    /// Author -> public key, hex.
    Result<std::map<std::string, std::string>> keys();

    /// Content-addressed file, written whole, then named. Codes: hash_mismatch, disk_full, io_error.
    Status put_attachment(const std::string& sha256_hex, ByteView bytes, const std::string& media);
    Result<Bytes> attachment(const std::string& sha256_hex);

    /// Moves the log into the database file; the result code is looked at. append() calls it every 1000 pages, and so may an idle app.
    Status checkpoint();
    /// What the last checkpoint complained of: the first sign of a dying disk, while every entry is still safe in the log.
    const std::optional<Problem>& trouble() const;

    /// Everything (the file's structure too), or one job: chain, digests, signatures, columns. Chains of this device must be dense;
    /// those of others may have gaps, as single jobs are imported.
    Result<VerifyReport> verify(const std::string& job = {});

    /// Looks at the next `most` entries that nobody has looked at since they came: chain, digests, signatures. A start does so for the newest
    /// few; an idle app goes on until `to_do` is false. The mark of what was found good is kept.
    struct Looked {
        bool to_do = false;
        std::optional<FirstBad> first_bad;
    };
    Result<Looked> verify_next(std::size_t most);

    /// A copy of everything but this device's key into another folder: the journal by SQLite's backup, then verified whole from there, people,
    /// own profiles, attachments looked at by their digests, captures byte for byte. A locked store can say of a sealed attachment only that
    /// it is there, so one that should be proved whole is unlocked first. Codes: those of open(), disk_full, io_error, not_verified (place
    /// AUTHOR/SEQ, `what` the reason; or attachments/SHA or captures/JOB/NAME, the first of `files` that can't be read or are not what was
    /// written): an older backup in the folder stays, and the new journal and attachments are left for a look in FOLDER/unproved.
    Result<VerifyReport> backup(const std::string& folder);

    /// One JSON object a line: first {"keys": {...}}, then {envelope, hash, signature, salt, body} with the exact bytes as text.
    Result<std::string> export_job(const std::string& job);
    /// Takes an export in, all or nothing, after verifying it. Codes: entry_malformed, entry_refused (place: author/seq, what), fork (an
    /// entry of that author and number says something else here), own_key_reused (entries under this device's key that it never wrote).
    Result<ImportReport> import_lines(std::string_view lines, Holes = Holes::refused);

private:
    friend class Exchange;
    struct Inside;
    explicit Store(std::unique_ptr<Inside>);
    std::unique_ptr<Inside> in_;
};

struct SalvageReport {
    std::int64_t kept = 0;
    std::map<std::string, std::int64_t> last; ///< author -> number of the last entry that verifies
    std::vector<FirstBad> broken;             ///< where each broken chain ends
    std::vector<std::string> lost;            ///< attachments/SHA, captures/JOB/NAME: stayed behind, as they can't be read or lost their digest
};
/// Reads what can be read of a damaged store, never writing to it, and takes each author's chain up to its last verifiable entry into a new
/// store in `into` (which must hold none), with the attachments that still have their digest, captures as far as they can be read, and own
/// profiles. The new store has a new author. Codes:
/// not_found, damaged (nothing can be read), exists, pin_needed (bodies are sealed and `person`, who must be a holder, is not given), those of
/// open().
Result<SalvageReport> salvage(Disk&, const Clock&, Random&, const std::string& damaged, const std::string& into, const trust::KeyPair* person = nullptr);

/// Entries as an export holds them, with the keys of their authors.
std::string lines_of(const std::vector<Entry>&, const std::map<std::string, std::string>& keys);

/// Verifies an export without a store.
Result<VerifyReport> verify_lines(std::string_view lines);

} // namespace chockside::journal
