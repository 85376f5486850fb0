#include <core/journal/detail/sql.h>

#include <array>

namespace chockside::journal::detail {

namespace {

// Migration n brings the schema from n-1 to n. Never edit one that has left the house; add the next.
constexpr std::array migrations = {
    R"(
CREATE TABLE entry(
  author TEXT NOT NULL, seq INTEGER NOT NULL, job TEXT NOT NULL, hash TEXT NOT NULL,
  envelope TEXT NOT NULL, signature TEXT NOT NULL, salt TEXT NOT NULL, body TEXT NOT NULL,
  PRIMARY KEY(author, seq)) WITHOUT ROWID;
CREATE INDEX entry_job ON entry(job);
CREATE TRIGGER entry_no_update BEFORE UPDATE ON entry BEGIN SELECT RAISE(ABORT, 'the journal is append-only'); END;
CREATE TRIGGER entry_no_delete BEFORE DELETE ON entry BEGIN SELECT RAISE(ABORT, 'the journal is append-only'); END;
CREATE TABLE command(id TEXT PRIMARY KEY, author TEXT NOT NULL, first INTEGER NOT NULL, last INTEGER NOT NULL) WITHOUT ROWID;
CREATE TABLE author(id TEXT PRIMARY KEY, public_key TEXT NOT NULL) WITHOUT ROWID;
CREATE TABLE job(id TEXT PRIMARY KEY, title TEXT NOT NULL, tail TEXT NOT NULL, status TEXT NOT NULL,
  opened INTEGER NOT NULL, changed INTEGER NOT NULL, entries INTEGER NOT NULL, practice INTEGER NOT NULL) WITHOUT ROWID;
CREATE INDEX job_changed ON job(changed);
)"};

Status settings(sqlite3* db, bool read_only)
{
    sqlite3_extended_result_codes(db, 1);
    sqlite3_db_config(db, SQLITE_DBCONFIG_DEFENSIVE, 1, nullptr);
    sqlite3_db_config(db, SQLITE_DBCONFIG_TRUSTED_SCHEMA, 0, nullptr);
    sqlite3_db_config(db, SQLITE_DBCONFIG_NO_CKPT_ON_CLOSE, read_only ? 1 : 0, nullptr);
    sqlite3_wal_autocheckpoint(db, 0);
    if (auto ok = run(db, "PRAGMA temp_store=MEMORY; PRAGMA synchronous=FULL", "settings"); !ok) return ok;
    if (!read_only) pragma(db, "journal_mode=WAL");
    const bool right = pragma(db, "journal_mode") == "wal" && pragma(db, "synchronous") == "2" && pragma(db, "wal_autocheckpoint") == "0";
    return right ? Status{} : Status(fail("settings_refused", "sqlite"));
}

} // namespace

Result<Db> open_database(const std::string& path, bool read_only)
{
    sqlite3* raw = nullptr;
    const int flags = read_only ? SQLITE_OPEN_READONLY : SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE;
    const int rc = sqlite3_open_v2(path.c_str(), &raw, flags | SQLITE_OPEN_NOMUTEX, nullptr);
    Db db(raw);
    if (rc != SQLITE_OK) return db ? Result<Db>(problem(db.get(), "open")) : Result<Db>(fail("io_error", path));
    if (auto ok = settings(db.get(), read_only); !ok) return Unexpected{ok.error()};
    return db;
}

Status migrate(sqlite3* db)
{
    const int have = std::stoi("0" + pragma(db, "user_version"));
    if (have > static_cast<int>(migrations.size())) return fail("newer_schema", "journal.db", {{"have", std::to_string(have)}, {"known", std::to_string(migrations.size())}});
    for (int n = have; n < static_cast<int>(migrations.size()); ++n) {
        const std::string sql = "BEGIN IMMEDIATE;" + std::string(migrations[static_cast<std::size_t>(n)]) + "PRAGMA user_version=" + std::to_string(n + 1) + ";COMMIT";
        if (auto ok = run(db, sql.c_str(), "migrate"); !ok) {
            (void)run(db, "ROLLBACK", "migrate");
            return ok;
        }
    }
    return {};
}

} // namespace chockside::journal::detail
