#include <platform/shop/accounts.h>
#include <platform/shop/guard.h>

#include <algorithm>

namespace chockside::shop {

namespace {

bool good_name(std::string_view name)
{
    const auto fine = [](char c) { return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '.' || c == '-' || c == '_'; };
    return !name.empty() && name.size() <= 40 && std::all_of(name.begin(), name.end(), fine);
}

std::string random_hex(Random& random, std::size_t bytes)
{
    Bytes b(bytes);
    random.fill(b);
    return to_hex(b);
}

Account account_of(const Rows& rows, std::size_t row)
{
    return {rows.text(row, 0), role_of(rows.text(row, 1)).value_or(Role::reader), rows.number(row, 2) != 0};
}

Status prune(Connection& c, std::int64_t before)
{
    if (auto old = c.run("DELETE FROM access_log WHERE at<$1", {before}); !old) return Unexpected{old.error()};
    for (const char* sql : {"DELETE FROM access_log WHERE account='-' AND at<(SELECT at FROM access_log WHERE account='-' ORDER BY at DESC LIMIT 1 OFFSET $1)",
             "DELETE FROM access_log WHERE account<>'-' AND at<(SELECT at FROM access_log WHERE account<>'-' ORDER BY at DESC LIMIT 1 OFFSET $1)"})
        if (auto most = c.run(sql, {Accounts::log_rows}); !most) return Unexpected{most.error()};
    return {};
}

/// Somebody who can open accounts must be left.
Status keeper_left(Connection& c)
{
    auto rows = c.run("SELECT count(*) FROM account WHERE role='keeper' AND open=1");
    if (!rows) return Unexpected{rows.error()};
    return rows->number(0, 0) > 0 ? Status{} : Status(fail("last_keeper", "account"));
}

} // namespace

const char* name_of(Role role)
{
    static const char* const names[] = {"reader", "lead", "keeper"};
    return names[static_cast<int>(role)];
}

std::optional<Role> role_of(std::string_view name)
{
    for (const Role role : {Role::reader, Role::lead, Role::keeper})
        if (name == name_of(role)) return role;
    return {};
}

Accounts::Accounts(const Clock& clock, Random& random, trust::Stretch stretch) : clock_(clock), random_(random), stretch_(stretch) {}

Status Accounts::make_tables(Connection& c)
{
    for (const char* sql : {"CREATE TABLE IF NOT EXISTS account(name TEXT PRIMARY KEY, role TEXT NOT NULL, open BIGINT NOT NULL, password TEXT NOT NULL, made BIGINT NOT NULL)",
             "CREATE TABLE IF NOT EXISTS page_session(id TEXT PRIMARY KEY, account TEXT NOT NULL, form_token TEXT NOT NULL, ends BIGINT NOT NULL)",
             "CREATE TABLE IF NOT EXISTS access_log(at BIGINT NOT NULL, account TEXT NOT NULL, peer TEXT NOT NULL, what TEXT NOT NULL, status BIGINT NOT NULL)",
             "CREATE INDEX IF NOT EXISTS access_log_at ON access_log(at)"})
        if (auto made = c.run(sql); !made) return Unexpected{made.error()};
    return {};
}

Result<std::string> Accounts::stretched(std::string_view password)
{
    if (password.size() < password_least) return fail("password_short", "password", {{"least", std::to_string(password_least)}});
    Bytes secret(32);
    random_.fill(secret);
    auto wrapped = trust::wrap(secret, password, random_, stretch_);
    trust::wipe(secret);
    if (!wrapped) return Unexpected{wrapped.error()};
    return json::write(trust::to_json(*wrapped));
}

Status Accounts::add(Writer& writer, const std::string& name, Role role, std::string_view password)
{
    if (!good_name(name)) return fail("bad_name", "account");
    auto kept = stretched(password);
    if (!kept) return Unexpected{kept.error()};
    const auto now = clock_.now().utc_ms;
    return writer.put_and_wait([=, text = *kept](Connection& c) -> Status {
        auto put = c.run("INSERT INTO account(name,role,open,password,made) VALUES($1,$2,1,$3,$4) ON CONFLICT DO NOTHING", {name, name_of(role), text, now});
        if (!put) return Unexpected{put.error()};
        return put->changed == 1 ? Status{} : Status(fail("exists", "account"));
    });
}

Status Accounts::set_password(Writer& writer, const std::string& name, std::string_view password)
{
    auto kept = stretched(password);
    if (!kept) return Unexpected{kept.error()};
    return writer.put_and_wait([=, text = *kept](Connection& c) -> Status {
        auto put = c.run("UPDATE account SET password=$1 WHERE name=$2", {text, name});
        if (!put) return Unexpected{put.error()};
        if (put->changed == 0) return fail("not_found", "account");
        auto out = c.run("DELETE FROM page_session WHERE account=$1", {name});
        return out ? Status{} : Status(Unexpected{out.error()});
    });
}

Status Accounts::set_role(Writer& writer, const std::string& name, Role role, bool open)
{
    return writer.put_and_wait([=](Connection& c) -> Status {
        auto put = c.run("UPDATE account SET role=$1,open=$2 WHERE name=$3", {name_of(role), std::int64_t{open}, name});
        if (!put) return Unexpected{put.error()};
        if (put->changed == 0) return fail("not_found", "account");
        if (auto left = keeper_left(c); !left) return left;
        auto out = c.run("DELETE FROM page_session WHERE account=$1", {name});
        return out ? Status{} : Status(Unexpected{out.error()});
    });
}

Result<std::vector<Account>> Accounts::list(Connection& c)
{
    auto rows = c.run("SELECT name,role,open FROM account ORDER BY name");
    if (!rows) return Unexpected{rows.error()};
    std::vector<Account> all;
    for (std::size_t i = 0; i < rows->size(); ++i) all.push_back(account_of(*rows, i));
    return all;
}

std::int64_t Accounts::wait_of(const std::string& key)
{
    const std::lock_guard hold(mutex_);
    const auto at = tries_.find(key);
    if (at == tries_.end() || at->second.wrong < 5) return 0;
    const std::int64_t delay = std::int64_t{30'000} << std::min(at->second.wrong - 5, 7);
    return std::max<std::int64_t>(0, at->second.last_mono + std::min<std::int64_t>(delay, 3'600'000) - clock_.now().mono_ms);
}

void Accounts::tried(const std::string& key, bool right)
{
    const std::lock_guard hold(mutex_);
    if (right) {
        tries_.erase(key);
        return;
    }
    if (tries_.size() > 10'000) tries_.clear();
    auto& tries = tries_[key];
    ++tries.wrong;
    tries.last_mono = clock_.now().mono_ms;
}

Result<std::string> Accounts::log_in(Connection& c, Writer& writer, const std::string& name, std::string_view password, const std::string& peer)
{
    const std::string by_name = "n:" + name, by_peer = "p:" + address_group(peer);
    if (const auto wait = std::max(wait_of(by_name), wait_of(by_peer))) return fail("wait", "account", {{"seconds", std::to_string((wait + 999) / 1000)}});
    auto rows = c.run("SELECT name,role,open,password FROM account WHERE name=$1", {name});
    if (!rows) return Unexpected{rows.error()};
    const bool known = !rows->empty() && rows->number(0, 2) != 0;
    bool right = false;
    {
        const std::lock_guard hold(one_at_a_time_);
        auto kept = json::read(known ? rows->text(0, 3) : std::string("{}"));
        auto wrapped = kept ? trust::wrapped_from(*kept) : Result<trust::Wrapped>(fail("bad_key"));
        if (known && wrapped) {
            auto secret = trust::unwrap(*wrapped, password);
            right = secret.has_value();
            if (right) trust::wipe(*secret);
        } else {
            (void)stretched("a name that is not there takes as long"); // else the time would tell who is here
        }
    }
    tried(by_name, right);
    tried(by_peer, right);
    if (!right) return fail("wrong", "account");
    const std::string token = random_hex(random_, 32), form = random_hex(random_, 16);
    const std::string id = trust::sha256_hex(as_bytes(token));
    const auto now = clock_.now();
    auto put = writer.put_and_wait([=](Connection& w) -> Status {
        if (auto old = w.run("DELETE FROM page_session WHERE ends<$1", {now.utc_ms}); !old) return Unexpected{old.error()};
        auto made = w.run("INSERT INTO page_session(id,account,form_token,ends) VALUES($1,$2,$3,$4)", {id, name, form, now.utc_ms + session_ms});
        return made ? Status{} : Status(Unexpected{made.error()});
    });
    if (!put) return Unexpected{put.error()};
    const std::lock_guard hold(mutex_);
    seen_[id] = now.mono_ms;
    return token;
}

Result<PageSession> Accounts::session(Connection& c, const std::string& cookie)
{
    if (cookie.size() != 64) return fail("no_session", "account");
    const std::string id = trust::sha256_hex(as_bytes(cookie));
    auto rows = c.run("SELECT a.name,a.role,a.open,s.form_token,s.ends FROM page_session s JOIN account a ON a.name=s.account WHERE s.id=$1", {id});
    if (!rows) return Unexpected{rows.error()};
    const auto now = clock_.now();
    if (rows->empty() || rows->number(0, 2) == 0 || rows->number(0, 4) < now.utc_ms) return fail("no_session", "account");
    const std::lock_guard hold(mutex_);
    auto& seen = seen_.try_emplace(id, now.mono_ms).first->second;
    if (now.mono_ms - seen > idle_ms) return fail("no_session", "account");
    seen = now.mono_ms;
    return PageSession{account_of(*rows, 0), rows->text(0, 3), id};
}

Status Accounts::log_out(Writer& writer, const std::string& session_id)
{
    return writer.put_and_wait([=](Connection& c) -> Status {
        auto out = c.run("DELETE FROM page_session WHERE id=$1", {session_id});
        return out ? Status{} : Status(Unexpected{out.error()});
    });
}

std::string Accounts::mark_of(const std::string& cookie)
{
    const std::string id = cookie.size() == 64 ? trust::sha256_hex(as_bytes(cookie)) : std::string();
    const std::lock_guard hold(mutex_);
    return seen_.contains(id) ? id.substr(0, 8) : "-";
}

void Accounts::note(Access a)
{
    for (std::string* text : {&a.account, &a.peer, &a.what}) *text = cut(*text, 140);
    const std::lock_guard hold(mutex_);
    if (noted_.size() < 10'000) noted_.push_back(std::move(a));
}

void Accounts::flush(Writer& writer)
{
    std::vector<Access> all;
    {
        const std::lock_guard hold(mutex_);
        all.swap(noted_);
    }
    if (all.empty()) return;
    std::vector<Params> rows;
    for (const Access& a : all) rows.push_back({a.at, a.account, a.peer, a.what, a.status});
    unpruned_ += rows.size();
    writer.put({[rows = std::move(rows)](Connection& c) { return c.run_each("INSERT INTO access_log(at,account,peer,what,status) VALUES($1,$2,$3,$4,$5)", rows); }, [](const Status&) {}});
    if (unpruned_ < prune_every) return;
    unpruned_ = 0;
    writer.put({[before = clock_.now().utc_ms - log_ms](Connection& c) { return prune(c, before); }, [](const Status&) {}});
}

Result<std::vector<Access>> Accounts::accesses(Connection& c, std::size_t most)
{
    auto rows = c.run("SELECT at,account,peer,what,status FROM access_log ORDER BY at DESC LIMIT $1", {static_cast<std::int64_t>(most)});
    if (!rows) return Unexpected{rows.error()};
    std::vector<Access> all;
    for (std::size_t i = 0; i < rows->size(); ++i) all.push_back({rows->number(i, 0), rows->text(i, 1), rows->text(i, 2), rows->text(i, 3), rows->number(i, 4)});
    return all;
}

} // namespace chockside::shop
