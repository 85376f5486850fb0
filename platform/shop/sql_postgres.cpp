#include <platform/shop/sql.h>

#include <libpq-fe.h>

#include <map>

namespace chockside::shop {

namespace {

struct EndConnection {
    void operator()(PGconn* c) const { PQfinish(c); }
};
struct EndResult {
    void operator()(PGresult* r) const { PQclear(r); }
};
using Conn = std::unique_ptr<PGconn, EndConnection>;
using Answer = std::unique_ptr<PGresult, EndResult>;

// Types by their numbers in pg_type.dat of PostgreSQL 15.
constexpr Oid type_bool = 16, type_int8 = 20, type_int2 = 21, type_int4 = 23;

std::string big_endian(std::int64_t n)
{
    std::string out(8, '\0');
    auto u = static_cast<std::uint64_t>(n);
    for (int i = 7; i >= 0; --i, u >>= 8) out[static_cast<std::size_t>(i)] = static_cast<char>(u & 0xff);
    return out;
}

std::int64_t from_big_endian(const char* p, int length)
{
    std::int64_t n = length > 0 && (static_cast<unsigned char>(p[0]) & 0x80) && length > 1 ? -1 : 0;
    for (int i = 0; i < length; ++i) n = static_cast<std::int64_t>(static_cast<std::uint64_t>(n) << 8 | static_cast<unsigned char>(p[i]));
    return n;
}

/// SQLSTATE classes as the manual's appendix A lists them.
const char* code_of(PGconn* c, const PGresult* r)
{
    if (PQstatus(c) != CONNECTION_OK) return "gone";
    const char* state = r ? PQresultErrorField(r, PG_DIAG_SQLSTATE) : nullptr;
    const std::string_view s = state ? state : "";
    if (s.starts_with("23") || s.starts_with("40")) return "conflict";
    if (s.starts_with("57") || s.starts_with("08")) return "gone";
    if (s == "53100") return "disk_full";
    if (s.starts_with("42") || s.starts_with("22")) return "bad_sql";
    return "io_error";
}

/// Values in the shape libpq takes: pointers into `kept`.
struct Bound {
    std::vector<std::string> kept;
    std::vector<const char*> values;
    std::vector<int> lengths, formats;

    explicit Bound(const Params& params)
    {
        kept.reserve(params.size());
        for (const Param& p : params) add(p);
    }
    void add(const Param& p)
    {
        const std::string* bytes = nullptr;
        if (const auto* n = std::get_if<std::int64_t>(&p)) bytes = &kept.emplace_back(big_endian(*n));
        else if (const auto* t = std::get_if<std::string>(&p)) bytes = t;
        else if (const auto* b = std::get_if<Blob>(&p)) bytes = &b->bytes;
        values.push_back(bytes ? (bytes->empty() ? "" : bytes->data()) : nullptr);
        lengths.push_back(bytes ? static_cast<int>(bytes->size()) : 0);
        formats.push_back(1);
    }
};

Rows::Cell cell(const PGresult* r, int row, int column)
{
    if (PQgetisnull(r, row, column)) return {};
    const char* p = PQgetvalue(r, row, column);
    const int length = PQgetlength(r, row, column);
    switch (PQftype(r, column)) {
    case type_bool:
    case type_int8:
    case type_int2:
    case type_int4: return from_big_endian(p, length);
    default: return std::string(p, static_cast<std::size_t>(length));
    }
}

class PostgresConnection final : public Connection {
public:
    explicit PostgresConnection(Conn c) : c_(std::move(c)) {}

    Result<Rows> run(std::string_view sql, const Params& params) override
    {
        auto name = prepared(sql);
        if (!name) return Unexpected{name.error()};
        const Bound b(params);
        const Answer r(PQexecPrepared(c_.get(), name->c_str(), static_cast<int>(params.size()), b.values.data(), b.lengths.data(), b.formats.data(), 1));
        if (PQresultStatus(r.get()) != PGRES_TUPLES_OK && PQresultStatus(r.get()) != PGRES_COMMAND_OK) return problem(r.get(), sql);
        Rows rows;
        rows.width_ = static_cast<std::size_t>(PQnfields(r.get()));
        for (int i = 0; i < PQntuples(r.get()); ++i)
            for (int k = 0; k < PQnfields(r.get()); ++k) rows.cells_.push_back(cell(r.get(), i, k));
        rows.changed = std::atoll(PQcmdTuples(r.get()));
        return rows;
    }

    Status run_each(std::string_view sql, std::span<const Params> all, std::int64_t* changed) override
    {
        auto name = prepared(sql);
        if (!name) return Unexpected{name.error()};
        constexpr std::size_t at_once = 100; // small enough that neither end's buffer fills while both only send
        for (std::size_t at = 0; at < all.size(); at += at_once)
            if (auto sent = pipeline(*name, sql, all.subspan(at, std::min(at_once, all.size() - at)), changed); !sent) return sent;
        return {};
    }

    Status begin(bool write) override
    {
        if (auto begun = command(write ? "BEGIN ISOLATION LEVEL READ COMMITTED" : "BEGIN ISOLATION LEVEL REPEATABLE READ READ ONLY"); !begun) return begun;
        // One writer at a time among all receivers: the log has one end.
        auto locked = write ? command("SELECT pg_advisory_xact_lock(7240251)") : Status{};
        // The wait may end by its timeout while BEGIN stands: left so, every later BEGIN would meet an aborted transaction.
        if (!locked) rollback();
        return locked;
    }
    Status commit() override { return command("COMMIT"); }
    void rollback() override
    {
        if (PQtransactionStatus(c_.get()) != PQTRANS_IDLE) (void)command("ROLLBACK");
    }
    bool good() const override { return PQstatus(c_.get()) == CONNECTION_OK; }

    Status command(const char* sql)
    {
        const Answer r(PQexec(c_.get(), sql));
        const auto status = PQresultStatus(r.get());
        // COMMIT of a transaction that had failed answers ROLLBACK, and is no commit.
        if (std::string_view(sql) == "COMMIT" && std::string_view(PQcmdStatus(r.get())) != "COMMIT") return problem(r.get(), sql);
        return status == PGRES_COMMAND_OK || status == PGRES_TUPLES_OK ? Status{} : Status(problem(r.get(), sql));
    }

private:
    Unexpected<Problem> problem(const PGresult* r, std::string_view place) const
    {
        const char* state = r ? PQresultErrorField(r, PG_DIAG_SQLSTATE) : nullptr;
        return fail(code_of(c_.get(), r), std::string(place.substr(0, 80)), {{"sqlstate", state ? state : ""}});
    }

    Result<std::string> prepared(std::string_view sql)
    {
        if (const auto at = names_.find(sql); at != names_.end()) return at->second;
        std::string name = "s" + std::to_string(names_.size());
        const Answer r(PQprepare(c_.get(), name.c_str(), std::string(sql).c_str(), 0, nullptr));
        if (PQresultStatus(r.get()) != PGRES_COMMAND_OK) return problem(r.get(), sql);
        return names_.emplace(std::string(sql), std::move(name)).first->second;
    }

    Status pipeline(const std::string& name, std::string_view sql, std::span<const Params> rows, std::int64_t* changed)
    {
        if (!PQenterPipelineMode(c_.get())) return fail("gone", "pipeline");
        bool sent = true;
        for (const Params& params : rows) {
            const Bound b(params);
            sent = sent && PQsendQueryPrepared(c_.get(), name.c_str(), static_cast<int>(params.size()), b.values.data(), b.lengths.data(), b.formats.data(), 1);
        }
        sent = sent && PQpipelineSync(c_.get());
        Status outcome = sent ? Status{} : Status(fail("gone", "pipeline"));
        for (bool more = sent; more;) {
            const Answer r(PQgetResult(c_.get()));
            if (!r) {
                more = PQstatus(c_.get()) == CONNECTION_OK;
                continue;
            }
            const auto status = PQresultStatus(r.get());
            if (status == PGRES_PIPELINE_SYNC) break;
            if (changed && status == PGRES_COMMAND_OK) *changed += std::atoll(PQcmdTuples(r.get()));
            if (status != PGRES_COMMAND_OK && status != PGRES_TUPLES_OK && status != PGRES_PIPELINE_ABORTED && outcome) outcome = problem(r.get(), sql);
        }
        if (PQstatus(c_.get()) != CONNECTION_OK) return fail("gone", "pipeline");
        PQexitPipelineMode(c_.get());
        return outcome;
    }

    Conn c_;
    /// By text. There are as many as this room has statements: values are bound, never written into one.
    std::map<std::string, std::string, std::less<>> names_;
};

class PostgresDatabase final : public Database {
public:
    explicit PostgresDatabase(std::string connection) : connection_(std::move(connection)) {}

    Result<std::unique_ptr<Connection>> connect(bool read_only) override
    {
        Conn c(PQconnectdb(connection_.c_str()));
        if (!c || PQstatus(c.get()) != CONNECTION_OK) return fail("gone", "connect");
        PQsetNoticeReceiver(c.get(), [](void*, const PGresult*) {}, nullptr);
        auto made = std::make_unique<PostgresConnection>(std::move(c));
        for (const char* setting : {"SET synchronous_commit=on", "SET bytea_output=hex", "SET client_encoding=UTF8", "SET statement_timeout='30s'", "SET idle_in_transaction_session_timeout='60s'"})
            if (auto set = made->command(setting); !set) return Unexpected{set.error()};
        if (read_only)
            if (auto set = made->command("SET default_transaction_read_only=on"); !set) return Unexpected{set.error()};
        auto durable = made->run("SELECT current_setting('synchronous_commit')||current_setting('fsync')", {});
        if (!durable) return Unexpected{durable.error()};
        if (durable->text(0, 0) != "onon") return fail("settings_refused", "postgresql", {{"synchronous_commit, fsync", durable->text(0, 0)}});
        return std::unique_ptr<Connection>(std::move(made));
    }

    Result<std::int64_t> size(Connection& c) override
    {
        auto rows = c.run("SELECT pg_database_size(current_database())");
        if (!rows) return Unexpected{rows.error()};
        return rows->number(0, 0);
    }
    const char* name() const override { return "postgresql"; }

private:
    std::string connection_;
};

} // namespace

std::unique_ptr<Database> postgres_database(const std::string& connection)
{
    return std::make_unique<PostgresDatabase>(connection);
}

} // namespace chockside::shop
