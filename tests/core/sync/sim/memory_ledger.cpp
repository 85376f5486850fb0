#include <tests/core/sync/sim/memory_ledger.h>

#include <algorithm>

namespace chockside::sim {

using namespace sync;

Status MemoryLedger::begin(bool)
{
    if (open_) return fail("busy");
    open_ = true;
    undo_.clear();
    mark_ = 0;
    return {};
}

Status MemoryLedger::commit()
{
    const CommitFault fault = undo_.empty() ? CommitFault::none : commit_fault();
    if (fault == CommitFault::undone) undo_to(0);
    undo_.clear();
    open_ = false;
    return fault == CommitFault::none ? Status{} : Status(fail("io_error", "commit"));
}

void MemoryLedger::rollback()
{
    undo_to(0);
    open_ = false;
}

void MemoryLedger::undo_to(std::size_t n)
{
    while (undo_.size() > n) {
        undo_.back()();
        undo_.pop_back();
    }
}

Status MemoryLedger::mark()
{
    mark_ = undo_.size();
    return {};
}

Status MemoryLedger::back()
{
    undo_to(mark_);
    return {};
}

Status MemoryLedger::set_epoch(const std::string& e)
{
    set(state.epoch, e);
    return {};
}

Status MemoryLedger::set_archived(std::int64_t n)
{
    set(state.archived, n);
    return {};
}

namespace {

template <class Map>
auto find(const Map& map, const typename Map::key_type& key)
{
    const auto found = map.find(key);
    return found == map.end() ? std::optional<typename Map::mapped_type>() : std::optional<typename Map::mapped_type>(found->second);
}

} // namespace

Result<std::optional<Device>> MemoryLedger::device(const std::string& author) { return find(state.devices, author); }
Result<std::optional<Code>> MemoryLedger::code(const std::string& hash) { return find(state.codes, hash); }
Result<std::optional<Session>> MemoryLedger::session(const std::string& token) { return find(state.sessions, token); }
Result<std::string> MemoryLedger::key(const std::string& author) { return find(state.keys, author).value_or(""); }

Result<std::vector<Device>> MemoryLedger::devices()
{
    std::vector<Device> all;
    for (const auto& [author, d] : state.devices) all.push_back(d);
    return all;
}

Status MemoryLedger::put_device(const Device& d)
{
    put(state.devices, d.author, d);
    return {};
}

Status MemoryLedger::put_key(const std::string& author, const std::string& key)
{
    put(state.keys, author, key);
    return {};
}

Status MemoryLedger::set_revoked(const std::string& author, std::int64_t at)
{
    Device d = state.devices[author];
    d.revoked_at = at;
    return put_device(d);
}

Status MemoryLedger::put_code(const Code& c)
{
    put(state.codes, c.hash, c);
    return {};
}

Status MemoryLedger::use_code(const std::string& hash, const std::string& key)
{
    Code c = state.codes[hash];
    c.used_by = key;
    return put_code(c);
}

Status MemoryLedger::put_session(const Session& s)
{
    if (state.nonces.contains(s.nonce)) return fail("exists");
    state.nonces.insert(s.nonce);
    undo_.push_back([this, n = s.nonce] { state.nonces.erase(n); });
    put(state.sessions, s.token_hash, s);
    return {};
}

Result<Head> MemoryLedger::head(const std::string& author)
{
    const auto found = state.chains.find(author);
    if (found == state.chains.end() || found->second.empty()) return Head{};
    return Head{found->second.back().stated.seq, found->second.back().stated.hash};
}

Result<std::vector<Stored>> MemoryLedger::entries(const std::string& author, const std::string& job, std::int64_t after, std::size_t limit)
{
    std::vector<Stored> out;
    const auto found = state.chains.find(author);
    if (found == state.chains.end()) return out;
    for (const auto& e : found->second)
        if (out.size() < limit && e.stated.seq > after && (job.empty() || e.stated.job == job)) out.push_back(e);
    return out;
}

Result<journal::Vector> MemoryLedger::vector_of(const std::string& job)
{
    journal::Vector v;
    for (const auto& [author, chain] : state.chains)
        for (const auto& e : chain)
            if (e.stated.job == job) v[author] = e.stated.seq;
    return v;
}

Status MemoryLedger::append(std::span<const Stored> all)
{
    for (const auto& e : all)
        if (auto ok = append_one(e); !ok) return ok;
    return {};
}

Status MemoryLedger::append_one(const Stored& e)
{
    auto& chain = state.chains[e.stated.author];
    const bool there = std::any_of(chain.begin(), chain.end(), [&](const Stored& o) { return o.stated.seq == e.stated.seq; });
    if (unique && (there || e.index != state.log_size)) return fail("exists");
    chain.push_back(e);
    ++state.log_size;
    undo_.push_back([this, author = e.stated.author] { state.chains[author].pop_back(), --state.log_size; });
    return {};
}

Status MemoryLedger::fill_body(const std::string& author, std::int64_t seq, const std::string& salt, const std::string& body)
{
    auto& chain = state.chains[author];
    for (std::size_t i = 0; i < chain.size(); ++i) {
        if (chain[i].stated.seq != seq || !chain[i].line.body.empty()) continue;
        undo_.push_back([this, author, i] { state.chains[author][i].line.salt = state.chains[author][i].line.body = ""; });
        chain[i].line.salt = salt;
        chain[i].line.body = body;
    }
    return {};
}

Result<std::vector<Range>> MemoryLedger::lacking(const std::string& author, std::size_t most)
{
    std::vector<Range> out;
    const auto found = state.chains.find(author);
    if (found == state.chains.end()) return out;
    for (const auto& e : found->second) {
        if (!e.line.body.empty()) continue;
        if (!out.empty() && out.back().last == e.stated.seq - 1) ++out.back().last;
        else if (out.size() < most) out.push_back({e.stated.seq, e.stated.seq});
    }
    return out;
}

Status MemoryLedger::quarantine(const Quarantined& q)
{
    if (!state.quarantine.contains(q.hash)) put(state.quarantine, q.hash, q);
    return {};
}

Result<std::vector<Quarantined>> MemoryLedger::quarantined()
{
    std::vector<Quarantined> all;
    for (const auto& [hash, q] : state.quarantine) all.push_back(q);
    return all;
}

Result<Digest> MemoryLedger::node(NodeName n)
{
    const auto found = state.nodes.find(n);
    return found == state.nodes.end() ? Result<Digest>(fail("not_found")) : Result<Digest>(found->second);
}

Status MemoryLedger::put_nodes(const std::vector<Node>& nodes)
{
    for (const auto& n : nodes) put(state.nodes, n.name, n.digest);
    return {};
}

Status MemoryLedger::share(std::span<const std::string> jobs, const std::string& device)
{
    for (const auto& job : jobs)
        if (state.shared[job].insert(device).second) undo_.push_back([this, job, device] { state.shared[job].erase(device); });
    return {};
}

Result<bool> MemoryLedger::shares(const std::string& job, const std::string& device)
{
    const auto found = state.shared.find(job);
    return found != state.shared.end() && found->second.contains(device);
}

Result<std::vector<std::tuple<std::string, std::string, std::int64_t>>> MemoryLedger::shared(const std::string& device, const std::string& after, std::size_t limit)
{
    std::vector<std::tuple<std::string, std::string, std::int64_t>> out;
    std::size_t n = 0;
    for (const auto& [job, devices] : state.shared) {
        if (job <= after || !devices.contains(device) || n == limit) continue;
        const auto vector = *vector_of(job);
        if (vector.size() == 1 && vector.begin()->first == device) continue;
        ++n;
        for (const auto& [author, last] : vector) out.emplace_back(job, author, last);
    }
    return out;
}

Result<bool> MemoryLedger::names_blob(const std::string& device, const std::vector<std::string>& streams, const std::string& sha)
{
    for (const auto& [author, chain] : state.chains)
        for (const auto& e : chain) {
            const bool named = std::find(e.stated.att.begin(), e.stated.att.end(), sha) != e.stated.att.end();
            if (named && (*shares(e.stated.job, device) || std::find(streams.begin(), streams.end(), author) != streams.end())) return true;
        }
    return false;
}

} // namespace chockside::sim
