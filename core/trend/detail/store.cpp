#include <core/trend/detail/store.h>

#include <sqlite3.h>

namespace chockside::trend::detail {

namespace {

constexpr int version = 1;

constexpr const char* schema = "CREATE TABLE IF NOT EXISTS note(name TEXT PRIMARY KEY, text TEXT NOT NULL) WITHOUT ROWID;"
                               "CREATE TABLE IF NOT EXISTS head(id INTEGER PRIMARY KEY, bytes BLOB NOT NULL);"
                               "CREATE TABLE IF NOT EXISTS block(id INTEGER PRIMARY KEY, bytes BLOB NOT NULL);"
                               "CREATE TABLE IF NOT EXISTS pyramid(id INTEGER PRIMARY KEY, bytes BLOB NOT NULL);";

constexpr const char* statements[] = {"SELECT text FROM note WHERE name=?", "INSERT OR REPLACE INTO note VALUES(?,?)", "SELECT id, bytes FROM head ORDER BY id",
    "SELECT bytes FROM block WHERE id=?", "SELECT bytes FROM pyramid WHERE id=?", "INSERT OR REPLACE INTO head VALUES(?,?)", "INSERT OR REPLACE INTO block VALUES(?,?)",
    "INSERT OR REPLACE INTO pyramid VALUES(?,?)", "BEGIN IMMEDIATE", "COMMIT", "BEGIN"};

const char* code_of(int rc)
{
    switch (rc & 0xFF) {
    case SQLITE_FULL: return "disk_full";
    case SQLITE_BUSY:
    case SQLITE_LOCKED: return "locked";
    case SQLITE_CANTOPEN:
    case SQLITE_READONLY:
    case SQLITE_PERM: return "no_permission";
    case SQLITE_CORRUPT:
    case SQLITE_NOTADB:
    case SQLITE_ERROR:
    case SQLITE_SCHEMA: return "trend_damaged";
    default: return "io_error";
    }
}

/// Statements are left ready for the next use whatever happens.
struct Use {
    sqlite3_stmt* s;
    ~Use() { sqlite3_reset(s), sqlite3_clear_bindings(s); }
    void bind(int at, ByteView v) { sqlite3_bind_blob(s, at, v.empty() ? static_cast<const void*>("") : v.data(), static_cast<int>(v.size()), SQLITE_STATIC); }
    void bind(int at, const std::string& v) { sqlite3_bind_text(s, at, v.c_str(), static_cast<int>(v.size()), SQLITE_STATIC); }
    void bind(int at, std::int64_t v) { sqlite3_bind_int64(s, at, v); }
    ByteView bytes(int column)
    {
        const auto* p = static_cast<const std::byte*>(sqlite3_column_blob(s, column));
        return {p, p ? static_cast<std::size_t>(sqlite3_column_bytes(s, column)) : 0};
    }
};

constexpr std::int64_t level_id(std::uint64_t id, int level) { return static_cast<std::int64_t>(id << 4 | static_cast<unsigned>(level)); }

} // namespace

Unexpected<Problem> Store::problem()
{
    return fail(code_of(sqlite3_extended_errcode(db_)), "trend");
}

Result<std::unique_ptr<Store>> Store::open(const std::string& path)
{
    std::unique_ptr<Store> store(new Store);
    sqlite3* db = nullptr;
    const int rc = sqlite3_open_v2(path.c_str(), &db, SQLITE_OPEN_READWRITE | SQLITE_OPEN_CREATE | SQLITE_OPEN_NOMUTEX, nullptr);
    store->db_ = db;
    if (rc != SQLITE_OK) return fail(code_of(rc), "trend");
    if (auto ok = store->prepare(); !ok) return Unexpected{ok.error()};
    return store;
}

Status Store::prepare()
{
    sqlite3_db_config(db_, SQLITE_DBCONFIG_DEFENSIVE, 1, nullptr);
    sqlite3_db_config(db_, SQLITE_DBCONFIG_TRUSTED_SCHEMA, 0, nullptr);
    if (sqlite3_exec(db_, "PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL; PRAGMA temp_store=MEMORY; PRAGMA busy_timeout=2000;", nullptr, nullptr, nullptr) != SQLITE_OK) return problem();
    if (sqlite3_exec(db_, schema, nullptr, nullptr, nullptr) != SQLITE_OK) return problem();
    for (int i = 0; i < how_many; ++i)
        if (sqlite3_prepare_v3(db_, statements[i], -1, SQLITE_PREPARE_PERSISTENT, &s_[i], nullptr) != SQLITE_OK) return problem();
    const auto was = note("version");
    if (!was) return Unexpected{was.error()};
    if (was->empty()) return set_note("version", std::to_string(version));
    return *was == std::to_string(version) ? Status() : Status(fail("trend_damaged", "version"));
}

Store::~Store()
{
    if (open_) (void)commit();
    for (sqlite3_stmt* s : s_) sqlite3_finalize(s);
    sqlite3_close_v2(db_);
}

Result<std::string> Store::note(const std::string& name)
{
    Use use{s_[get_note]};
    use.bind(1, name);
    const int rc = sqlite3_step(use.s);
    if (rc == SQLITE_DONE) return std::string();
    if (rc != SQLITE_ROW) return problem();
    return to_text(use.bytes(0));
}

Status Store::set_note(const std::string& name, const std::string& text)
{
    Use use{s_[put_note]};
    use.bind(1, name);
    use.bind(2, text);
    return sqlite3_step(use.s) == SQLITE_DONE ? Status() : Status(problem());
}

Status Store::heads(const std::function<void(std::uint64_t, ByteView)>& each)
{
    Use use{s_[get_heads]};
    int rc = SQLITE_ROW;
    while ((rc = sqlite3_step(use.s)) == SQLITE_ROW) each(static_cast<std::uint64_t>(sqlite3_column_int64(use.s, 0)), use.bytes(1));
    return rc == SQLITE_DONE ? Status() : Status(problem());
}

Result<Bytes> Store::blob(Which which, std::int64_t key)
{
    Use use{s_[which]};
    use.bind(1, key);
    const int rc = sqlite3_step(use.s);
    if (rc == SQLITE_DONE) return Bytes();
    if (rc != SQLITE_ROW) return problem();
    const ByteView v = use.bytes(0);
    return Bytes(v.begin(), v.end());
}

Result<Bytes> Store::data(std::uint64_t id)
{
    return blob(get_data, static_cast<std::int64_t>(id));
}

Result<Bytes> Store::pyramid(std::uint64_t id, int level)
{
    return blob(get_level, level_id(id, level));
}

Status Store::once(Which which)
{
    Use use{s_[which]};
    return sqlite3_step(use.s) == SQLITE_DONE ? Status() : Status(problem());
}

Status Store::begin()
{
    if (open_) return {};
    auto ok = once(begin_all);
    open_ = ok.has_value();
    return ok;
}

bool Store::begin_reads()
{
    return !open_ && once(begin_look).has_value();
}

void Store::end_reads()
{
    (void)once(commit_all);
}

Status Store::put(std::uint64_t id, const Encoded& e)
{
    if (auto ok = begin(); !ok) return ok;
    const auto row = [&](Which which, std::int64_t key, ByteView bytes) {
        Use use{s_[which]};
        use.bind(1, key);
        use.bind(2, bytes);
        return sqlite3_step(use.s) == SQLITE_DONE;
    };
    bool ok = row(put_head, static_cast<std::int64_t>(id), e.head) && row(put_data, static_cast<std::int64_t>(id), e.data);
    for (const Encoded::Level& l : e.pyramid) ok = ok && row(put_level, level_id(id, l.level), l.bytes);
    return ok ? Status() : Status(problem());
}

Status Store::commit()
{
    if (!open_) return {};
    auto ok = once(commit_all);
    if (ok) open_ = false;
    return ok;
}

Status Store::clear()
{
    if (open_) sqlite3_exec(db_, "ROLLBACK", nullptr, nullptr, nullptr); // after some failures SQLite has done so itself
    open_ = false;
    const char* all = "BEGIN IMMEDIATE; DELETE FROM head; DELETE FROM block; DELETE FROM pyramid; DELETE FROM note WHERE name<>'version'; COMMIT";
    return sqlite3_exec(db_, all, nullptr, nullptr, nullptr) == SQLITE_OK ? Status() : Status(problem());
}

} // namespace chockside::trend::detail
