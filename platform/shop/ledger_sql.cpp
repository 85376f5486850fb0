#include <platform/shop/ledger_sql.h>

namespace chockside::shop {

namespace {

constexpr std::int64_t schema_now = 1;

std::string hex_of(const std::string& bytes)
{
    return to_hex(as_bytes(bytes));
}

sync::Device device_from(const Rows& r, std::size_t i)
{
    return {r.text(i, 0), r.text(i, 1), r.text(i, 2), r.number(i, 3), r.number(i, 4)};
}

} // namespace

Result<sync::Stored> stored_from(const Rows& r, std::size_t i)
{
    sync::Stored s;
    s.line = {r.text(i, 3), hex_of(r.text(i, 4)), hex_of(r.text(i, 5)), r.text(i, 6)};
    auto stated = sync::stated(s.line.envelope);
    if (!stated || stated->author != r.text(i, 1) || stated->seq != r.number(i, 2)) return fail("damaged", r.text(i, 1) + "/" + std::to_string(r.number(i, 2)));
    s.stated = std::move(*stated);
    s.index = r.number(i, 0);
    s.received_at = r.number(i, 7);
    return s;
}

Connection* SqlLedger::connection()
{
    if (connection_ && !connection_->good()) connection_.reset();
    if (!connection_) {
        auto made = database_.connect(read_only_);
        if (made) connection_ = std::move(*made);
    }
    return connection_.get();
}

Status SqlLedger::make_tables()
{
    Connection* c = connection();
    if (!c) return fail("gone", "database");
    const bool postgres = std::string_view(database_.name()) == "postgresql";
    static const char* const common[] = {"CREATE TABLE IF NOT EXISTS kept(key TEXT PRIMARY KEY, value TEXT NOT NULL)",
        "CREATE TABLE IF NOT EXISTS device(author TEXT PRIMARY KEY, public_key TEXT NOT NULL, name TEXT NOT NULL, enrolled_at BIGINT NOT NULL, revoked_at BIGINT NOT NULL)",
        "CREATE TABLE IF NOT EXISTS author_key(author TEXT PRIMARY KEY, public_key TEXT NOT NULL)",
        "CREATE TABLE IF NOT EXISTS code(hash TEXT PRIMARY KEY, made_at BIGINT NOT NULL, used_by TEXT NOT NULL)",
        "CREATE TABLE IF NOT EXISTS session(token TEXT PRIMARY KEY, nonce TEXT NOT NULL UNIQUE, author TEXT NOT NULL, ends_at BIGINT NOT NULL)",
        "CREATE TABLE IF NOT EXISTS share(device TEXT NOT NULL, job TEXT NOT NULL, PRIMARY KEY(device, job))",
        "CREATE TABLE IF NOT EXISTS job_author(job TEXT NOT NULL, author TEXT NOT NULL, last BIGINT NOT NULL, PRIMARY KEY(job, author))",
        "CREATE TABLE IF NOT EXISTS att(sha TEXT NOT NULL, author TEXT NOT NULL, job TEXT NOT NULL, PRIMARY KEY(sha, author, job))",
        // Jobs that the page's index has to look at again though the log brings nothing: a body came late, or (profile) the bytes of a profile are awaited.
        "CREATE TABLE IF NOT EXISTS job_again(job TEXT NOT NULL, profile TEXT NOT NULL, times BIGINT NOT NULL, PRIMARY KEY(profile, job))"};
    static const char* const sqlite[] = {
        "CREATE TABLE IF NOT EXISTS entry(idx INTEGER PRIMARY KEY, author TEXT NOT NULL, seq INTEGER NOT NULL, job TEXT NOT NULL, hash TEXT NOT NULL, envelope BLOB NOT NULL, signature BLOB NOT NULL, salt BLOB NOT NULL, body BLOB NOT NULL, received_at INTEGER NOT NULL, UNIQUE(author, seq))",
        "CREATE TABLE IF NOT EXISTS quarantine(hash TEXT PRIMARY KEY, author TEXT NOT NULL, seq BIGINT NOT NULL, has TEXT NOT NULL, line BLOB NOT NULL, received_at BIGINT NOT NULL)",
        "CREATE TABLE IF NOT EXISTS node(level INTEGER NOT NULL, idx INTEGER NOT NULL, digest BLOB NOT NULL, PRIMARY KEY(level, idx)) WITHOUT ROWID",
        // What was signed stays as it was: only a body that had not come may be filled in, once.
        "CREATE TRIGGER IF NOT EXISTS entry_stays BEFORE DELETE ON entry BEGIN SELECT RAISE(ABORT, 'entries stay'); END",
        "CREATE TRIGGER IF NOT EXISTS entry_fixed BEFORE UPDATE ON entry WHEN length(OLD.body)>0 OR OLD.idx<>NEW.idx OR OLD.author<>NEW.author OR OLD.seq<>NEW.seq OR OLD.job<>NEW.job OR OLD.hash<>NEW.hash OR OLD.envelope<>NEW.envelope OR OLD.signature<>NEW.signature BEGIN SELECT RAISE(ABORT, 'entries stay'); END"};
    static const char* const postgresql[] = {
        "CREATE TABLE IF NOT EXISTS entry(idx BIGINT PRIMARY KEY, author TEXT NOT NULL, seq BIGINT NOT NULL, job TEXT NOT NULL, hash TEXT NOT NULL, envelope BYTEA NOT NULL, signature BYTEA NOT NULL, salt BYTEA NOT NULL, body BYTEA NOT NULL, received_at BIGINT NOT NULL, UNIQUE(author, seq))",
        "CREATE TABLE IF NOT EXISTS quarantine(hash TEXT PRIMARY KEY, author TEXT NOT NULL, seq BIGINT NOT NULL, has TEXT NOT NULL, line BYTEA NOT NULL, received_at BIGINT NOT NULL)",
        "CREATE TABLE IF NOT EXISTS node(level BIGINT NOT NULL, idx BIGINT NOT NULL, digest BYTEA NOT NULL, PRIMARY KEY(level, idx))",
        "CREATE OR REPLACE FUNCTION entries_stay() RETURNS trigger LANGUAGE plpgsql AS $f$ BEGIN IF TG_OP='UPDATE' AND length(OLD.body)=0 AND (OLD.idx,OLD.author,OLD.seq,OLD.job,OLD.hash,OLD.envelope,OLD.signature)=(NEW.idx,NEW.author,NEW.seq,NEW.job,NEW.hash,NEW.envelope,NEW.signature) THEN RETURN NEW; END IF; RAISE EXCEPTION 'entries stay'; END $f$",
        "CREATE OR REPLACE TRIGGER entry_stays BEFORE UPDATE OR DELETE ON entry FOR EACH ROW EXECUTE FUNCTION entries_stay()"};
    static const char* const indexes[] = {"CREATE INDEX IF NOT EXISTS entry_job ON entry(job, author, seq)", "CREATE INDEX IF NOT EXISTS entry_lacking ON entry(author, seq) WHERE length(body)=0"};
    return in_transaction(*c, [&]() -> Status {
        const auto all = [&](auto& list) -> Status {
            for (const char* sql : list)
                if (auto made = c->run(sql); !made) return Unexpected{made.error()};
            return {};
        };
        if (auto made = all(common); !made) return made;
        if (auto made = postgres ? all(postgresql) : all(sqlite); !made) return made;
        if (auto made = all(indexes); !made) return made;
        auto schema = kept("schema");
        if (!schema) return Unexpected{schema.error()};
        if (!schema->empty() && std::stoll(*schema) > schema_now) return fail("newer_schema", "shop", {{"schema", *schema}});
        return keep("schema", std::to_string(schema_now));
    });
}

Result<Rows> SqlLedger::run(std::string_view sql, const Params& params)
{
    if (!connection_) return fail("gone", "database");
    return connection_->run(sql, params);
}
Status SqlLedger::done(std::string_view sql, const Params& params)
{
    auto r = run(sql, params);
    return r ? Status{} : Status(Unexpected{r.error()});
}
Status SqlLedger::once(std::string_view sql, const Params& params)
{
    auto r = run(sql, params);
    if (!r) return Unexpected{r.error()};
    return r->changed == 0 ? Status(fail("exists", "ledger")) : Status{};
}

Status SqlLedger::begin(bool write)
{
    marked_ = false;
    Connection* c = connection();
    if (!c) return fail("gone", "database");
    auto begun = c->begin(write);
    if (!begun) c->rollback();
    return begun;
}
Status SqlLedger::commit()
{
    if (!connection_) return fail("gone", "database");
    auto committed = connection_->commit();
    // Nobody knows what became of it: what is read next comes over a new connection.
    if (!committed) connection_.reset();
    return committed;
}
void SqlLedger::rollback()
{
    if (connection_) connection_->rollback();
}
Status SqlLedger::mark()
{
    if (marked_)
        if (auto freed = done("RELEASE SAVEPOINT m"); !freed) return freed;
    marked_ = true;
    return done("SAVEPOINT m");
}
Status SqlLedger::back()
{
    return done("ROLLBACK TO SAVEPOINT m");
}

Result<std::string> SqlLedger::kept(const std::string& name)
{
    auto r = run("SELECT value FROM kept WHERE key=$1", {name});
    if (!r) return Unexpected{r.error()};
    return r->empty() ? std::string() : r->text(0, 0);
}
Status SqlLedger::keep(const std::string& name, const std::string& value)
{
    return done("INSERT INTO kept(key,value) VALUES($1,$2) ON CONFLICT(key) DO UPDATE SET value=excluded.value", {name, value});
}
Result<std::string> SqlLedger::epoch() { return kept("epoch"); }
Status SqlLedger::set_epoch(const std::string& e) { return keep("epoch", e); }
Result<std::int64_t> SqlLedger::archived()
{
    auto text = kept("archived");
    if (!text) return Unexpected{text.error()};
    return text->empty() ? 0 : std::stoll(*text);
}
Status SqlLedger::set_archived(std::int64_t size) { return keep("archived", std::to_string(size)); }

Result<std::optional<sync::Device>> SqlLedger::device(const std::string& author)
{
    auto r = run("SELECT author,public_key,name,enrolled_at,revoked_at FROM device WHERE author=$1", {author});
    if (!r) return Unexpected{r.error()};
    return r->empty() ? std::optional<sync::Device>() : std::optional(device_from(*r, 0));
}
Result<std::vector<sync::Device>> SqlLedger::devices()
{
    auto r = run("SELECT author,public_key,name,enrolled_at,revoked_at FROM device ORDER BY enrolled_at,author");
    if (!r) return Unexpected{r.error()};
    std::vector<sync::Device> all;
    for (std::size_t i = 0; i < r->size(); ++i) all.push_back(device_from(*r, i));
    return all;
}
Status SqlLedger::put_device(const sync::Device& d)
{
    auto there = device(d.author);
    if (!there) return Unexpected{there.error()};
    if (*there && (*there)->key != d.key) return fail("exists", d.author);
    if (auto put = put_key(d.author, d.key); !put) return put;
    return done("INSERT INTO device(author,public_key,name,enrolled_at,revoked_at) VALUES($1,$2,$3,$4,$5) ON CONFLICT(author) DO UPDATE SET name=excluded.name",
        {d.author, d.key, d.name, d.enrolled_at, d.revoked_at});
}
Status SqlLedger::put_key(const std::string& author, const std::string& k)
{
    auto there = key(author);
    if (!there) return Unexpected{there.error()};
    if (!there->empty()) return *there == k ? Status{} : Status(fail("exists", author));
    return done("INSERT INTO author_key(author,public_key) VALUES($1,$2) ON CONFLICT DO NOTHING", {author, k});
}
Result<std::string> SqlLedger::key(const std::string& author)
{
    auto r = run("SELECT public_key FROM author_key WHERE author=$1", {author});
    if (!r) return Unexpected{r.error()};
    return r->empty() ? std::string() : r->text(0, 0);
}
Status SqlLedger::set_revoked(const std::string& author, std::int64_t at) { return done("UPDATE device SET revoked_at=$1 WHERE author=$2", {at, author}); }

Result<std::optional<sync::Code>> SqlLedger::code(const std::string& hash)
{
    auto r = run("SELECT hash,made_at,used_by FROM code WHERE hash=$1", {hash});
    if (!r) return Unexpected{r.error()};
    return r->empty() ? std::optional<sync::Code>() : std::optional(sync::Code{r->text(0, 0), r->number(0, 1), r->text(0, 2)});
}
Status SqlLedger::put_code(const sync::Code& c)
{
    return once("INSERT INTO code(hash,made_at,used_by) VALUES($1,$2,$3) ON CONFLICT DO NOTHING", {c.hash, c.made_at, c.used_by});
}
Status SqlLedger::use_code(const std::string& hash, const std::string& k) { return done("UPDATE code SET used_by=$1 WHERE hash=$2", {k, hash}); }

Status SqlLedger::put_session(const sync::Session& s)
{
    return once("INSERT INTO session(token,nonce,author,ends_at) VALUES($1,$2,$3,$4) ON CONFLICT DO NOTHING", {s.token_hash, s.nonce, s.author, s.ends_at});
}
Result<std::optional<sync::Session>> SqlLedger::session(const std::string& token_hash)
{
    auto r = run("SELECT token,nonce,author,ends_at FROM session WHERE token=$1", {token_hash});
    if (!r) return Unexpected{r.error()};
    return r->empty() ? std::optional<sync::Session>() : std::optional(sync::Session{r->text(0, 0), r->text(0, 1), r->text(0, 2), r->number(0, 3)});
}
Status SqlLedger::forget_sessions(std::int64_t before) { return done("DELETE FROM session WHERE ends_at<$1", {before}); }

} // namespace chockside::shop
