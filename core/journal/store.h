#pragma once
// The store: one process, one connection that writes, WAL with synchronous FULL (asserted), no automatic checkpoint, rows that can't be
// changed or deleted. Anything shown as saved was committed first.

#include <core/base/disk.h>
#include <core/base/time.h>
#include <core/journal/verify.h>

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
};

struct ImportReport {
    std::int64_t added = 0;
    std::int64_t already = 0; ///< here before, byte for byte
};

class Store {
public:
    struct Options {
        std::string folder;
        bool read_only = false;
        /// Kept aside while there is room and given back when the disk is full, so that the last entries still find place.
        std::uint64_t reserve_bytes = 32u << 20;
    };

    /// Opens or makes FOLDER/journal.db and the device key FOLDER/device.key (0600). A read-only store has no key and takes no lock.
    /// Codes: locked (another process writes), newer_schema, older_schema (read-only), settings_refused, not_found, disk_full, io_error,
    /// damaged, no_permission, bad_key.
    static Result<std::unique_ptr<Store>> open(Disk&, const Clock&, Random&, Options);
    ~Store();
    Store(const Store&) = delete;
    Store& operator=(const Store&) = delete;

    const std::string& author() const;
    std::string public_key_hex() const;

    /// Seals and commits all drafts of one command in one transaction, with the job's index row where one is given; durable before it
    /// returns. A command id repeated within its job answers with the entries of the first call and writes nothing; an empty id is never
    /// a repeat. Codes: disk_full, io_error (nobody was told of the entries; the connection was opened anew; a retry under the same id is
    /// safe), entry_refused, read_only.
    Result<std::vector<Entry>> append(const std::string& job, const std::string& command_id, std::span<const Draft> drafts, const std::optional<JobRow>& row = {});

    /// Of one job, in causal order. Code: entry_malformed (place: author/seq) where a row does not say what its envelope says.
    Result<std::vector<Entry>> entries(const std::string& job);
    Result<std::vector<Entry>> all_entries();
    /// Newest first. `search` looks in tail and title.
    Result<std::vector<JobRow>> jobs(std::size_t most = 100, const std::string& search = {});
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

    /// One JSON object a line: first {"keys": {...}}, then {envelope, hash, signature, salt, body} with the exact bytes as text.
    Result<std::string> export_job(const std::string& job);
    /// Takes an export in, all or nothing, after verifying it. Codes: entry_malformed, entry_refused (place: author/seq, what), fork (an
    /// entry of that author and number says something else here), own_key_reused (entries under this device's key that it never wrote).
    Result<ImportReport> import_lines(std::string_view lines);

private:
    struct Inside;
    explicit Store(std::unique_ptr<Inside>);
    std::unique_ptr<Inside> in_;
};

/// Verifies an export without a store.
Result<VerifyReport> verify_lines(std::string_view lines);

} // namespace chockside::journal
