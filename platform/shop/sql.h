#pragma once
// One way to talk to both databases: the same SQL text with $1, $2 ... in order, bound values only, rows as values. Text is never built
// from data. One connection belongs to one thread at a time.

#include <core/base/bytes.h>
#include <core/base/result.h>

#include <cstdint>
#include <initializer_list>
#include <memory>
#include <span>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

namespace chockside::shop {

/// Bytes that are no text: BLOB or BYTEA.
struct Blob {
    std::string bytes;
    bool operator==(const Blob&) const = default;
};

/// At most so many bytes, whole characters, and none that a database refuses in a text: the rest from there on is left out.
std::string cut(std::string_view text, std::size_t most);

using Param = std::variant<std::monostate, std::int64_t, std::string, Blob>;
using Params = std::vector<Param>;

/// What a statement gave, all of it. Numbers and texts (or bytes) by row and column; a NULL is 0 and empty.
class Rows {
public:
    using Cell = std::variant<std::monostate, std::int64_t, std::string>;
    std::size_t size() const { return width_ == 0 ? 0 : cells_.size() / width_; }
    bool empty() const { return cells_.empty(); }
    std::int64_t number(std::size_t row, std::size_t column) const;
    const std::string& text(std::size_t row, std::size_t column) const;
    bool null(std::size_t row, std::size_t column) const { return cell(row, column).index() == 0; }

    std::size_t width_ = 0;
    std::vector<Cell> cells_;
    std::int64_t changed = 0; ///< rows inserted, changed or deleted

private:
    const Cell& cell(std::size_t row, std::size_t column) const { return cells_[row * width_ + column]; }
};

/// Codes of every call: disk_full, io_error, locked, damaged, conflict (a UNIQUE or a serialisation), gone (the server went away: the outcome
/// of a commit is not known), bad_sql (a programming error).
class Connection {
public:
    virtual ~Connection() = default;
    virtual Result<Rows> run(std::string_view sql, const Params& params = {}) = 0;
    /// The same statement once for each row of values, in as few journeys as the database allows; all or an error. Counts the rows changed.
    virtual Status run_each(std::string_view sql, std::span<const Params> rows, std::int64_t* changed = nullptr) = 0;
    /// `write` takes the one lock of writers, which holds until the end: what is read then is what is written upon. After an error no
    /// transaction stands.
    virtual Status begin(bool write) = 0;
    virtual Status commit() = 0;
    virtual void rollback() = 0;
    /// False once the connection can't be trusted any more (lost, or an error of the disk): it is to be opened anew.
    virtual bool good() const = 0;
    /// Moves the log into the file where there is one. Looks at the result code.
    virtual Status checkpoint() { return {}; }
};

class Database {
public:
    virtual ~Database() = default;
    /// A writer has every setting asserted (SQLite: WAL and FULL; PostgreSQL: synchronous_commit on). Codes: settings_refused, newer_schema
    /// and those of Connection.
    virtual Result<std::unique_ptr<Connection>> connect(bool read_only) = 0;
    /// Bytes that the database takes.
    virtual Result<std::int64_t> size(Connection&) = 0;
    virtual const char* name() const = 0;
};

/// FOLDER/shop.db; one writing connection at a time (SQLite before 3.51.3 must not have two, see settings in sql_sqlite.cpp).
std::unique_ptr<Database> sqlite_database(const std::string& file);
/// By a connection string of libpq ("postgresql:///shop", "host=... dbname=...").
std::unique_ptr<Database> postgres_database(const std::string& connection);

/// Begins, runs, commits; rolls back where `work` gives an error.
template <class Work>
Status in_transaction(Connection& c, Work work)
{
    if (auto begun = c.begin(true); !begun) return begun;
    if (Status done = work(); !done) {
        c.rollback();
        return done;
    }
    return c.commit();
}

} // namespace chockside::shop
