#include <core/journal/exchange.h>

#include <core/journal/detail/inside.h>

#include <algorithm>

namespace chockside::journal {

using detail::author_step;
using detail::Statement;

Bytes Exchange::sign(trust::Domain domain, ByteView message) const
{
    return store_.in_->key ? store_.in_->key->sign(domain, message) : Bytes();
}

bool Exchange::unlocked() const
{
    return !store_.locked();
}

Result<Exchange::End> Exchange::own_end()
{
    if (auto ok = store_.in_->ready(); !ok) return Unexpected{ok.error()};
    return End{store_.in_->seq, store_.in_->prev};
}

Result<std::vector<Entry>> Exchange::own(std::int64_t after, std::size_t most)
{
    Store::Inside& in = *store_.in_;
    if (auto ok = in.ready(); !ok) return Unexpected{ok.error()};
    const std::int64_t first = in.author_no * author_step;
    return in.range({first + after + 1, first + std::min(in.seq, after + static_cast<std::int64_t>(most))}, false);
}

Result<std::string> Exchange::own_hash(std::int64_t seq)
{
    Store::Inside& in = *store_.in_;
    if (auto ok = in.ready(); !ok) return Unexpected{ok.error()};
    Statement s(in.db.get(), "SELECT lower(hex(hash)) FROM entry WHERE id=?");
    s.bind(1, in.author_no * author_step + seq);
    if (seq >= 1 && seq < author_step && s.step_row()) return s.text(0);
    return fail("not_found", std::to_string(seq));
}

Result<bool> Exchange::is_new(std::int64_t id, const Entry& e, bool own) const
{
    const std::string place = e.envelope.author + "/" + std::to_string(e.envelope.seq);
    Statement s(store_.in_->db.get(), "SELECT lower(hex(hash)) FROM entry WHERE id=?");
    s.bind(1, id);
    if (s.step_row()) return s.text(0) == e.hash ? Result<bool>(false) : Result<bool>(fail("fork", place));
    if (!s.ended()) return detail::problem(store_.in_->db.get(), "exchange");
    return own ? Result<bool>(fail("own_key_reused", place)) : Result<bool>(true);
}

Status Exchange::put(const Step& step)
{
    Store::Inside& in = *store_.in_;
    sqlite3* db = in.db.get();
    if (!step.entries.empty() && !in.put_new_key()) return detail::problem(db, "key");
    for (const Entry& e : step.entries) {
        const auto key = step.keys.find(e.envelope.author);
        if (key == step.keys.end()) return fail("entry_refused", e.envelope.author, {{"what", "key"}});
        const auto number = in.number_of(e.envelope.author, key->second, false);
        if (!number) return Unexpected{number.error()};
        const std::int64_t id = *number * author_step + e.envelope.seq;
        const auto wanted = is_new(id, e, e.envelope.author == in.author);
        if (!wanted) return Unexpected{wanted.error()};
        if (*wanted && !(in.put_entry(*number, e, {}) && in.fit_run(id, e.envelope.job) && in.uncount(*number, e.envelope.seq))) return detail::problem(db, "exchange");
    }
    Statement keep(db, "INSERT OR REPLACE INTO note(name,value) VALUES(?,?)"), drop(db, "DELETE FROM note WHERE name=?");
    for (const auto& [name, value] : step.notes) {
        if (!value.empty()) keep.bind(1, name).bind(2, value);
        else drop.bind(1, name);
        if (!(value.empty() ? drop : keep).run_once()) return detail::problem(db, "note");
    }
    return {};
}

Status Exchange::apply(const Step& step)
{
    Store::Inside& in = *store_.in_;
    if (in.options.read_only) return fail("read_only");
    if (auto ok = in.ready(); !ok) return ok;
    if (!step.entries.empty()) in.writable();
    const Store::Inside::Unfinished unfinished{in};
    if (!in.begin.run_once()) return in.give_up("begin");
    if (auto ok = put(step); !ok) {
        const std::string& code = ok.error().code;
        if (code != "fork" && code != "own_key_reused" && code != "entry_refused") return in.give_up("exchange");
        in.rollback.run_once();
        return ok;
    }
    if (!in.commit.run_once()) return in.give_up("commit");
    in.new_key.reset();
    if (!step.entries.empty()) {
        in.seen_job.clear();
        if (auto ok = in.repair_rows(); !ok) return ok;
    }
    if (in.log_pages >= detail::log_pages_most) (void)store_.checkpoint();
    return {};
}

Result<std::map<std::string, std::string>> Exchange::notes(const std::string& prefix)
{
    Store::Inside& in = *store_.in_;
    if (auto ok = in.ready(); !ok) return Unexpected{ok.error()};
    Statement s(in.db.get(), "SELECT name,value FROM note WHERE name>=?1 AND name<?1||x'7F'");
    s.bind(1, prefix);
    std::map<std::string, std::string> found;
    while (s.step_row()) found[s.text(0)] = s.text(1);
    if (!s.ended()) return detail::problem(in.db.get(), "note");
    return found;
}

} // namespace chockside::journal
