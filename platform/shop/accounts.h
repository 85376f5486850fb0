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

    void note(Access);
    /// Writes what was noted; called now and then.
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
};

} // namespace chockside::shop
