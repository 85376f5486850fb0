#pragma once
// The receiver's ledger in a database of SQL: one source for SQLite and PostgreSQL.

#include <core/sync/ledger.h>
#include <platform/shop/sql.h>

namespace chockside::shop {

/// What a job's rows stand under: its id, or the beginning and the digest of one longer than 500 bytes, since a key of PostgreSQL's trees ends
/// at about 2,700. A key of that kind is longer than 500 bytes, so it is no other job's id; such ids stand in order by their first 445 bytes.
std::string job_key(const std::string& job);

class SqlLedger final : public sync::Ledger {
public:
    SqlLedger(Database& database, bool read_only) : database_(database), read_only_(read_only) {}

    /// Makes what is not there. Codes: newer_schema and those of Connection.
    Status make_tables();
    /// Opened anew where it was lost; null while it can't be had.
    Connection* connection();

    Status begin(bool write) override;
    Status commit() override;
    void rollback() override;
    Status mark() override;
    Status back() override;
    Result<std::string> epoch() override;
    Status set_epoch(const std::string&) override;
    Result<std::int64_t> archived() override;
    Status set_archived(std::int64_t size) override;
    Result<std::optional<sync::Device>> device(const std::string& author) override;
    Result<std::vector<sync::Device>> devices() override;
    Status put_device(const sync::Device&) override;
    Status put_key(const std::string& author, const std::string& key) override;
    Result<std::string> key(const std::string& author) override;
    Status set_revoked(const std::string& author, std::int64_t at) override;
    Result<std::optional<sync::Code>> code(const std::string& hash) override;
    Status put_code(const sync::Code&) override;
    Status use_code(const std::string& hash, const std::string& key) override;
    Status put_session(const sync::Session&) override;
    Result<std::optional<sync::Session>> session(const std::string& token_hash) override;
    Status forget_sessions(std::int64_t ended_before) override;
    Result<sync::Head> head(const std::string& author) override;
    Result<std::vector<sync::Stored>> entries(const std::string& author, const std::string& job, std::int64_t after, std::size_t limit) override;
    Result<journal::Vector> vector_of(const std::string& job) override;
    Status append(std::span<const sync::Stored>) override;
    Status fill_body(const std::string& author, std::int64_t seq, const std::string& salt, const std::string& body) override;
    Result<std::vector<sync::Range>> lacking(const std::string& author, std::size_t most) override;
    Status quarantine(const sync::Quarantined&) override;
    Result<std::vector<sync::Quarantined>> quarantined() override;
    Result<std::int64_t> log_size() override;
    Result<sync::Digest> node(sync::NodeName) override;
    Status put_nodes(const std::vector<sync::Node>&) override;
    Status share(std::span<const std::string> jobs, const std::string& device) override;
    Result<bool> shares(const std::string& job, const std::string& device) override;
    Result<std::vector<std::tuple<std::string, std::string, std::int64_t>>> shared(const std::string& device, const std::string& after, std::size_t limit) override;
    Result<bool> names_blob(const std::string& device, const std::vector<std::string>& streams, const std::string& sha256) override;

private:
    Result<Rows> run(std::string_view sql, const Params& params = {});
    Status done(std::string_view sql, const Params& params = {});
    /// `exists` where the statement, one with ON CONFLICT DO NOTHING, changed nothing.
    Status once(std::string_view sql, const Params& params);
    /// The id of the job that stands under a key.
    Result<std::string> job_of(const std::string& key);
    Result<std::string> kept(const std::string& key);
    Status keep(const std::string& key, const std::string& value);

    Database& database_;
    bool read_only_;
    bool marked_ = false;
    std::unique_ptr<Connection> connection_;
};

/// Columns idx, author, seq, envelope, signature, salt, body, received_at, in this order.
Result<sync::Stored> stored_from(const Rows&, std::size_t row);

} // namespace chockside::shop
