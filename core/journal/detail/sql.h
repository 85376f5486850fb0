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

inline Unexpected<Problem> problem(sqlite3* db, const char* place)
{
    const int code = sqlite3_errcode(db) & 0xFF;
    const char* name = code == SQLITE_FULL ? "disk_full" : code == SQLITE_BUSY || code == SQLITE_LOCKED ? "locked" : code == SQLITE_NOTADB || code == SQLITE_CORRUPT ? "damaged" : "io_error";
    return fail(name, place, {{"what", sqlite3_errmsg(db)}});
}

class Statement {
public:
    Statement() = default;
    Statement(sqlite3* db, const char* sql) : db_(db) { sqlite3_prepare_v3(db, sql, -1, SQLITE_PREPARE_PERSISTENT, &s_, nullptr); }
    Statement(Statement&& o) noexcept : db_(o.db_), s_(o.s_) { o.s_ = nullptr; }
    Statement& operator=(Statement&& o) noexcept
    {
        std::swap(db_, o.db_);
        std::swap(s_, o.s_);
        return *this;
    }
    ~Statement() { sqlite3_finalize(s_); }

    bool good() const { return s_ != nullptr; }
    Statement& bind(int at, std::int64_t v) { return sqlite3_bind_int64(s_, at, v), *this; }
    Statement& bind(int at, std::string_view v) { return sqlite3_bind_text(s_, at, v.data(), static_cast<int>(v.size()), SQLITE_TRANSIENT), *this; }
    bool step_row() { return (last_ = sqlite3_step(s_)) == SQLITE_ROW; }
    bool step_done() { return (last_ = sqlite3_step(s_)) == SQLITE_DONE; }
    bool ended() const { return last_ == SQLITE_DONE; }
    std::int64_t number(int column) const { return sqlite3_column_int64(s_, column); }
    std::string text(int column) const
    {
        const auto* p = reinterpret_cast<const char*>(sqlite3_column_text(s_, column));
        return p ? std::string(p, static_cast<std::size_t>(sqlite3_column_bytes(s_, column))) : std::string();
    }
    void reset()
    {
        sqlite3_reset(s_);
        sqlite3_clear_bindings(s_);
    }

private:
    sqlite3* db_ = nullptr;
    sqlite3_stmt* s_ = nullptr;
    int last_ = SQLITE_OK;
};

inline Status run(sqlite3* db, const char* sql, const char* place)
{
    return sqlite3_exec(db, sql, nullptr, nullptr, nullptr) == SQLITE_OK ? Status{} : Status(problem(db, place));
}

inline std::string pragma(sqlite3* db, const std::string& name)
{
    Statement s(db, ("PRAGMA " + name).c_str());
    return s.good() && s.step_row() ? s.text(0) : std::string();
}

/// Opens with every setting asserted: WAL, FULL, foreign keys, no autocheckpoint, memory temp store, defensive, no trusted schema.
Result<Db> open_database(const std::string& path, bool read_only);
/// Numbered migrations, one transaction each; a newer schema is refused.
Status migrate(sqlite3* db);

} // namespace chockside::journal::detail
