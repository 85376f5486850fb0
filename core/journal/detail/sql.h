#pragma once
// The thinnest layer over SQLite: a connection that closes itself, statements prepared once, results as Problem.

#include <core/base/bytes.h>
#include <core/base/result.h>

#include <sqlite3.h>

#include <memory>
#include <string>
#include <string_view>

namespace chockside::journal::detail {

struct CloseDb {
    void operator()(sqlite3* db) const { sqlite3_close_v2(db); }
};
using Db = std::unique_ptr<sqlite3, CloseDb>;

/// What the last call on this connection complained of. Codes: disk_full, locked, damaged, no_permission, io_error.
Unexpected<Problem> problem(sqlite3* db, const char* place);

class Statement {
public:
    Statement() = default;
    Statement(sqlite3* db, const char* sql) { sqlite3_prepare_v3(db, sql, -1, SQLITE_PREPARE_PERSISTENT, &s_, nullptr); }
    Statement(Statement&& o) noexcept : s_(o.s_), last_(o.last_), bound_(o.bound_) { o.s_ = nullptr; }
    Statement& operator=(Statement&& o) noexcept
    {
        std::swap(s_, o.s_);
        std::swap(last_, o.last_);
        std::swap(bound_, o.bound_);
        return *this;
    }
    ~Statement() { sqlite3_finalize(s_); }

    bool good() const { return s_ != nullptr; }
    Statement& bind(int at, std::int64_t v) { return keep(sqlite3_bind_int64(s_, at, v)); }
    Statement& bind(int at, std::string_view v) { return keep(sqlite3_bind_text(s_, at, v.empty() ? "" : v.data(), static_cast<int>(v.size()), SQLITE_TRANSIENT)); }
    Statement& bind(int at, ByteView v) { return keep(sqlite3_bind_blob(s_, at, v.empty() ? "" : static_cast<const void*>(v.data()), static_cast<int>(v.size()), SQLITE_TRANSIENT)); }
    bool step_row() { return step() == SQLITE_ROW; }
    bool step_done() { return step() == SQLITE_DONE; }
    /// After a loop of step_row: whether it ended because there was no more, and not for an error.
    bool ended() const { return last_ == SQLITE_DONE; }
    std::int64_t number(int column) const { return sqlite3_column_int64(s_, column); }
    bool is_blob(int column) const { return sqlite3_column_type(s_, column) == SQLITE_BLOB; }
    std::string text(int column) const
    {
        const auto* p = static_cast<const char*>(sqlite3_column_blob(s_, column));
        return p ? std::string(p, static_cast<std::size_t>(sqlite3_column_bytes(s_, column))) : std::string();
    }
    void reset()
    {
        if (!s_) return;
        sqlite3_reset(s_);
        sqlite3_clear_bindings(s_);
        bound_ = SQLITE_OK;
    }
    /// Steps once to the end and makes the statement ready for the next use.
    bool run_once()
    {
        const bool ok = step_done();
        reset();
        return ok;
    }

private:
    /// A value that found no memory stands as NULL: the question would be another one, and its answer "nothing there".
    Statement& keep(int rc)
    {
        if (rc != SQLITE_OK) bound_ = rc;
        return *this;
    }
    int step() { return last_ = bound_ == SQLITE_OK ? sqlite3_step(s_) : bound_; }

    sqlite3_stmt* s_ = nullptr;
    int last_ = SQLITE_OK;
    int bound_ = SQLITE_OK;
};

Status run(sqlite3* db, const char* sql, const char* place);
std::string pragma(sqlite3* db, const std::string& name);

/// Opens with every setting asserted: WAL, FULL, no automatic checkpoint, none on close, a log file that stays, memory temp store,
/// defensive, no trusted schema. Codes: not_found, settings_refused and those of problem().
Result<Db> open_database(const std::string& path, bool read_only);
/// Numbered migrations, one transaction each, the version written last. Code: newer_schema.
Status migrate(sqlite3* db);
/// For readers, who may not migrate. Codes: newer_schema, older_schema.
Status same_schema(sqlite3* db);

} // namespace chockside::journal::detail
