#pragma once
// People of the shop's page: a password under Argon2id, a role, a session with its own token against forged posts, and a log of who did
// what. Times are the receiver's UTC, ms.

#include <core/base/random.h>
#include <core/base/time.h>
#include <core/trust/trust.h>
#include <core/trust/wrap.h>
#include <platform/shop/sql.h>
#include <platform/shop/writer.h>

#include <map>
#include <mutex>

namespace chockside::shop {

/// Each may do what the one before may: read; reply, assign, publish, enrol and revoke; keep accounts and read the access log.
enum class Role { reader, lead, keeper };
const char* name_of(Role);
std::optional<Role> role_of(std::string_view);

struct Account {
    std::string name;
    Role role = Role::reader;
    bool open = true; ///< false: may not log in
};

struct PageSession {
    Account account;
    std::string form_token; ///< hex; every form that changes something carries it
    std::string id;         ///< hex of the digest of the cookie: names the session, and is no secret
};

struct Access {
    std::int64_t at = 0;
    std::string account, peer, what;
    std::int64_t status = 0;
};

class Accounts {
public:
    static constexpr std::size_t password_least = 12;
    static constexpr std::int64_t session_ms = 12 * 3600 * std::int64_t{1000};
    static constexpr std::int64_t idle_ms = 2 * 3600 * std::int64_t{1000};
    /// Of the access log: how old a row may be, and how many there may be of people and as many again of strangers, so that no stranger
    /// fills it with his own.
    static constexpr std::int64_t log_ms = 90 * 24 * 3600 * std::int64_t{1000};
    static constexpr std::int64_t log_rows = 100'000;

    Accounts(const Clock&, Random&, trust::Stretch = {});

    static Status make_tables(Connection&);

    /// Codes: bad_name (1 to 40 letters, digits, '.', '-', '_'), password_short, exists.
    Status add(Writer&, const std::string& name, Role, std::string_view password);
    /// Codes: not_found, password_short, last_keeper (somebody must stay who can open accounts).
    Status set_password(Writer&, const std::string& name, std::string_view password);
    Status set_role(Writer&, const std::string& name, Role, bool open);
    Result<std::vector<Account>> list(Connection&);

    /// The cookie's value. Takes as long for a name that is not there. Codes: wrong (name or password), wait (seconds).
    Result<std::string> log_in(Connection&, Writer&, const std::string& name, std::string_view password, const std::string& peer);
    Result<PageSession> session(Connection&, const std::string& cookie);
    Status log_out(Writer&, const std::string& session_id);

    /// What the access log says instead of a cookie: the beginning of its session's digest; "-" for one that no session here ever had.
    std::string mark_of(const std::string& cookie);
    /// Text is cut to what a database takes.
    void note(Access);
    /// Writes what was noted, and now and then forgets what log_ms and log_rows bound; called every few seconds, by one thread.
    void flush(Writer&);
    Result<std::vector<Access>> accesses(Connection&, std::size_t most);

private:
    Result<std::string> stretched(std::string_view password);
    std::int64_t wait_of(const std::string& key);
    void tried(const std::string& key, bool right);

    const Clock& clock_;
    Random& random_;
    trust::Stretch stretch_;
    std::mutex one_at_a_time_; ///< a try takes 64 MiB
    std::mutex mutex_;
    struct Tries {
        int wrong = 0;
        std::int64_t last_mono = 0;
    };
    std::map<std::string, Tries> tries_;
    std::map<std::string, std::int64_t> seen_; ///< session -> last use, boot clock
    std::vector<Access> noted_;
    static constexpr std::size_t prune_every = 5'000; ///< rows
    std::size_t unpruned_ = prune_every;
};

} // namespace chockside::shop
