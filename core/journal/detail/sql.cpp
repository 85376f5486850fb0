#include <core/base/planted.h>
#include <core/journal/detail/sql.h>

#include <array>
#include <cstdlib>

namespace chockside::journal::detail {

namespace {

// Migration n brings the schema from n-1 to n. Never edit one that has left the house; add the next.
// entry.id is the author's number times 2^40 plus the sequence number: one B-tree, appended at its end, holds order and uniqueness. The
// command stands in the entry and has no index: the commands of the one job at hand are in memory, and each page less is a page less to sync.
constexpr std::array migrations = {
    R"(
CREATE TABLE author(no INTEGER PRIMARY KEY, id TEXT NOT NULL UNIQUE, public_key TEXT NOT NULL, own INTEGER NOT NULL);
CREATE TABLE entry(id INTEGER PRIMARY KEY, job TEXT NOT NULL, command TEXT NOT NULL, hash BLOB NOT NULL, envelope TEXT NOT NULL,
  signature BLOB NOT NULL, salt BLOB NOT NULL, body TEXT NOT NULL);
CREATE INDEX entry_job ON entry(job);
CREATE TRIGGER entry_no_update BEFORE UPDATE ON entry BEGIN SELECT RAISE(ABORT, 'the journal is append-only'); END;
CREATE TRIGGER entry_no_delete BEFORE DELETE ON entry BEGIN SELECT RAISE(ABORT, 'the journal is append-only'); END;
CREATE TABLE job(id TEXT PRIMARY KEY, title TEXT NOT NULL, tail TEXT NOT NULL, status TEXT NOT NULL,
  opened INTEGER NOT NULL, changed INTEGER NOT NULL, entries INTEGER NOT NULL, practice INTEGER NOT NULL) WITHOUT ROWID;
CREATE INDEX job_changed ON job(changed);
)",
    // counted: up to which of an author's numbers the jobs' rows are right, so that a start looks only at what came after.
    // verified: up to which number chain and signatures were looked at here, so that a start looks at the rest alone.
    // run: from this entry on an author's entries belong to this job, up to his next run. It says what an index over entry.job would say,
    // and is written when the job changes instead of with each entry: one page less to sync.
    R"(
ALTER TABLE author ADD COLUMN counted INTEGER NOT NULL DEFAULT 0;
ALTER TABLE author ADD COLUMN verified INTEGER NOT NULL DEFAULT 0;
CREATE TABLE run(id INTEGER PRIMARY KEY, job TEXT NOT NULL);
INSERT INTO run SELECT id,job FROM (SELECT id,job,lag(job) OVER o job_before,lag(id) OVER o id_before FROM entry WINDOW o AS (ORDER BY id))
  WHERE id_before IS NULL OR job_before<>job OR id_before/1099511627776<>id/1099511627776;
CREATE INDEX run_job ON run(job);
DROP INDEX entry_job;
)",
    // From here on entry.body is the sealed salt and body and entry.salt is empty; job.title is the sealed title and tail and job.tail is
    // empty (core/journal/at_rest.cpp). vault: the public half of this store's pair. data_key: what was written under, in boxes to it.
    // holder: its secret half, in boxes to the people who may read.
    R"(
CREATE TABLE vault(public_key BLOB NOT NULL);
CREATE TABLE data_key(no INTEGER PRIMARY KEY, box BLOB NOT NULL);
CREATE TABLE holder(public_key TEXT PRIMARY KEY, box BLOB NOT NULL) WITHOUT ROWID;
)",
    // note: how far an exchange with another end came (exchange.h); no entry, so it may change.
    R"(
CREATE TABLE note(name TEXT PRIMARY KEY, value TEXT NOT NULL) WITHOUT ROWID;
)"};
constexpr int known_schema = static_cast<int>(migrations.size());

Status settings(sqlite3* db, bool read_only)
{
    sqlite3_extended_result_codes(db, 1);
    sqlite3_db_config(db, SQLITE_DBCONFIG_DEFENSIVE, 1, nullptr);
    sqlite3_db_config(db, SQLITE_DBCONFIG_TRUSTED_SCHEMA, 0, nullptr);
    sqlite3_db_config(db, SQLITE_DBCONFIG_NO_CKPT_ON_CLOSE, 1, nullptr);
    sqlite3_wal_autocheckpoint(db, 0);
    const std::string synchronous = PLANTED(synchronous_normal) ? "1" : PLANTED(synchronous_off) ? "0" : "2"; // 2: FULL
    if (auto ok = run(db, ("PRAGMA temp_store=MEMORY; PRAGMA synchronous=" + synchronous).c_str(), "settings"); !ok) return ok;
    if (!read_only && pragma(db, "journal_mode=WAL") != "wal") return problem(db, "settings");
    // A log file that keeps its size is overwritten in place: no metadata to sync with each entry.
    int persist = 1;
    if (!read_only) sqlite3_file_control(db, "main", SQLITE_FCNTL_PERSIST_WAL, &persist);
    const bool right = pragma(db, "journal_mode") == "wal" && pragma(db, "synchronous") == synchronous && pragma(db, "wal_autocheckpoint") == "0";
    return right ? Status{} : Status(fail("settings_refused", "sqlite"));
}

int schema_of(sqlite3* db)
{
    return std::atoi(pragma(db, "user_version").c_str());
}

Unexpected<Problem> schema_problem(const char* code, int have)
{
    return fail(code, "journal.db", {{"have", std::to_string(have)}, {"known", std::to_string(known_schema)}});
}

} // namespace

Unexpected<Problem> problem(sqlite3* db, const char* place)
{
    const char* name = "io_error";
    switch (sqlite3_errcode(db) & 0xFF) {
    case SQLITE_FULL: name = "disk_full"; break;
    case SQLITE_BUSY:
    case SQLITE_LOCKED: name = "locked"; break;
    case SQLITE_NOTADB:
    case SQLITE_CORRUPT: name = "damaged"; break;
    case SQLITE_READONLY:
    case SQLITE_PERM: name = "no_permission"; break;
    default: break;
    }
    return fail(name, place, {{"what", sqlite3_errmsg(db)}});
}

Status run(sqlite3* db, const char* sql, const char* place)
{
    return sqlite3_exec(db, sql, nullptr, nullptr, nullptr) == SQLITE_OK ? Status{} : Status(problem(db, place));
}

std::string pragma(sqlite3* db, const std::string& name)
{
    Statement s(db, ("PRAGMA " + name).c_str());
    return s.good() && s.step_row() ? s.text(0) : std::string();
}

Result<Db> open_database(const std::string& path, bool read_only)
{
    sqlite3* raw = nullptr;
    const int flags = read_only ? SQLITE_OPEN_READONLY : SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE;
    const int rc = sqlite3_open_v2(path.c_str(), &raw, flags | SQLITE_OPEN_NOMUTEX, nullptr);
    Db db(raw);
    if (rc == SQLITE_CANTOPEN && read_only) return fail("not_found", path);
    if (rc != SQLITE_OK) return db ? Result<Db>(problem(db.get(), "open")) : Result<Db>(fail("io_error", path));
    if (auto ok = settings(db.get(), read_only); !ok) return Unexpected{ok.error()};
    return db;
}

Status migrate(sqlite3* db)
{
    const int have = schema_of(db);
    if (have > known_schema) return schema_problem("newer_schema", have);
    for (int n = have; n < known_schema; ++n) {
        const std::string sql = "BEGIN IMMEDIATE;" + std::string(migrations[static_cast<std::size_t>(n)]) + "PRAGMA user_version=" + std::to_string(n + 1) + ";COMMIT";
        if (auto ok = run(db, sql.c_str(), "migrate"); !ok) {
            (void)run(db, "ROLLBACK", "migrate");
            return ok;
        }
    }
    return {};
}

Status same_schema(sqlite3* db)
{
    const int have = schema_of(db);
    if (have > known_schema) return schema_problem("newer_schema", have);
    return have < known_schema ? Status(schema_problem("older_schema", have)) : Status{};
}

} // namespace chockside::journal::detail
