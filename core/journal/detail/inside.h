#pragma once
// What a Store keeps: the connection, its prepared statements, the end of the device's own chain.

#include <core/journal/detail/sql.h>
#include <core/journal/store.h>
#include <core/trust/sealed_file.h>

namespace chockside::journal {

struct Store::Inside {
    using Statement = detail::Statement;
    struct Range {
        std::int64_t first = 0, last = 0; ///< ids of entries
    };

    /// Whatever leaves while a transaction is open, memory that ran out, leaves no transaction: the next write would be told as saved in it.
    struct Unfinished {
        Inside& in;
        ~Unfinished();
    };

    Disk& disk;
    const Clock& clock;
    Random& random;
    Options options;
    std::unique_ptr<Disk::Lock> lock = {};
    std::optional<trust::KeyPair> key = {};
    std::string author = {};
    detail::Db db = {};
    Statement insert_entry = {}, insert_row = {}, insert_run = {}, insert_key = {}, begin = {}, commit = {}, rollback = {};
    std::int64_t author_no = 0;
    std::int64_t seq = 0;
    std::string prev = {};
    std::string last_job = {}; ///< of the chain's last entry: its run goes on as long as the job stays
    std::string seen_job = {};
    Vector seen = {};
    std::map<std::string, Range> commands = {};
    int log_pages = 0;
    bool copied_all = false; ///< by the last checkpoint: no reader held a part of the log back
    bool reserve_held = false;
    bool in_keyring = false;
    std::string began_anew = {};
    std::optional<Problem> trouble = {};
    std::optional<trust::Vault> vault = {};
    std::optional<trust::Vault::NewKey> new_key = {}; ///< written under, and not yet durable
    bool held = false;                                ///< somebody's PIN opens the vault, and nothing else does

    Status connect();
    /// Connects anew where the connection was lost; nothing is done on one that is not whole.
    Status ready();
    Status prepare();
    /// Enters the device's author if it is new, and finds the end of its chain.
    Status head();
    /// Fills `seen` and `commands` with what this store knows of a job.
    Status know(const std::string& job);
    /// Rows of jobs that have entries but lost their row (a kill between the two) or its count; looks only at entries newer than the
    /// last time, so that a start does not grow with the journal.
    Status repair_rows();
    Status restore_row(JobRow);
    /// What came in below the mark is counted again.
    bool uncount(std::int64_t author_no, std::int64_t seq);
    Result<std::int64_t> number_of(const std::string& author_id, const std::string& public_key, bool own);

    /// Makes or reads the vault; it is open where the secret lies beside the store, which is so until the first holder.
    Status open_vault();
    Status read_vault();
    Status make_vault();
    /// What was written before there was a vault is sealed, in one transaction.
    Status seal_old();
    Status seal_old_entries();
    Status seal_old_rows();
    /// Begins a data key where there is none to write under.
    void writable();
    /// Enters a data key that was begun, in the transaction that is open; it counts with the commit.
    bool put_new_key();
    Status keep_new_key();
    Bytes seal_body(const std::string& place, std::string_view salt_hex, std::string_view body) const;
    /// Leaves salt and body empty where the vault is shut. Code: entry_malformed (body).
    /// `read`: its JSON too.
    Status unseal_body(const std::string& sealed, Entry&, bool read = true);
    Status unseal_row(const std::string& sealed, JobRow&);

    Result<bool> is_holder(const std::string& public_key_hex) const;
    /// In the transaction that is open.
    bool put_holder(const std::string& public_key_hex, ByteView box);
    bool drop_holder(const std::string& public_key_hex);
    /// The vault's secret for one person alone. Codes: pin_needed, bad_key.
    Result<Bytes> box_for(const std::string& public_key_hex);
    /// Takes the old key away that this one follows, if a rotation got no further; a transaction of its own.
    Status settle_successor(const std::string& new_hex);

    Result<std::optional<Range>> find(const std::string& job, const std::string& command_id);
    Result<std::vector<Entry>> seal_all(const std::string& job, std::span<const Draft>);
    Status write(const std::string& command_id, const std::vector<Entry>&, const std::optional<JobRow>&);
    bool put_entry(std::int64_t author_no, const Entry&, const std::string& command_id);
    bool put_run(std::int64_t id, const std::string& job);
    /// Runs around an entry that came from elsewhere, perhaps between two that are here.
    bool fit_run(std::int64_t id, const std::string& job);
    bool put_row(const JobRow&);
    /// After an error in a transaction nothing of it may exist; the handle is not trusted again.
    Unexpected<Problem> give_up(const char* place);
    /// A copied or restored store goes on under a new key, which `why` tells.
    Status own_or_anew();
    /// The device's key, made where there is none; moved into the keyring where that answers.
    Status own_key();
    Status keep_key(const trust::KeyPair&);
    /// Durable in the keyring: says so beside the store, and takes the file with the key away.
    Status key_is_in_keyring(const trust::KeyPair&);
    bool on_another_machine() const;
    std::string key_name() const;
    std::string key_file() const;
    std::string key_note() const;
    Status begin_anew(const char* why);
    void keep_witness();
    void hold_reserve();
    bool free_reserve();

    /// A copy of all pages and of what opens them, verified from there; read the report: it may not be good.
    Result<VerifyReport> proved_pages(const std::string& unproved);

    /// Entries of a statement that selects `entry_columns`; columns and envelope must agree. Code: entry_malformed (author/seq).
    /// Where `read_bodies` is false, `body` stays null and its bytes are not looked at.
    Result<std::vector<Entry>> rows(Statement&, bool read_bodies = true);
    Result<Entry> row(const Statement&, bool read_bodies = true);
    Result<std::vector<Entry>> range(const Range&, bool read_bodies = true);
};

namespace detail {

/// Data keys that are known by their boxes.
Status know_keys(sqlite3*, trust::Vault&);
/// Opens the vault with the box that is kept for this person. Codes: not_a_holder (place: the public key), bad_seal, io_error.
Status open_for(sqlite3*, trust::Vault&, const trust::KeyPair& person);
/// Opens it with the secret that lies beside the store. Codes: not_found, bad_key, those of Disk.
Status open_with_beside(Disk&, trust::Vault&, const std::string& folder);

/// A note "successor/OLD" with the value NEW: NEW opens beside OLD, until it is known that the person has it.
inline const std::string successor_note = "successor/";

/// A log that is longer is moved into the database file by whoever wrote last.
constexpr int log_pages_most = 1000;
constexpr std::int64_t author_step = std::int64_t{1} << 40;
constexpr const char* entry_columns = "SELECT e.envelope,e.hash,e.signature,e.salt,e.body,e.job,e.id%1099511627776,a.id FROM ";
constexpr const char* every_entry = "entry e JOIN author a ON a.no=e.id/1099511627776 ";
/// Entries of the one job that is bound.
constexpr const char* job_entries =
    "run r CROSS JOIN entry e ON e.id>=r.id AND e.id<coalesce((SELECT min(n.id) FROM run n WHERE n.id>r.id),9223372036854775807) "
    "JOIN author a ON a.no=e.id/1099511627776 WHERE r.job=? ";

} // namespace detail

} // namespace chockside::journal
