#pragma once
// A Ledger in memory with transactions that can be taken back, and with commits that fail or whose outcome nobody is told.

#include <core/sync/ledger.h>

#include <functional>
#include <map>
#include <set>

namespace chockside::sim {

struct ShopState {
    std::string epoch;
    std::int64_t archived = 0;
    std::map<std::string, sync::Device> devices;
    std::map<std::string, std::string> keys;
    std::map<std::string, sync::Code> codes;
    std::map<std::string, sync::Session> sessions;
    std::set<std::string> nonces;
    std::map<std::string, std::vector<sync::Stored>> chains;
    std::map<sync::NodeName, sync::Digest> nodes;
    std::int64_t log_size = 0;
    std::map<std::string, std::set<std::string>> shared;         ///< job -> devices
    std::map<std::string, sync::Quarantined> quarantine;
};

enum class CommitFault { none, undone, unknown };

class MemoryLedger final : public sync::Ledger {
public:
    ShopState state;
    std::function<CommitFault()> commit_fault = [] { return CommitFault::none; };
    bool unique = true;                                          ///< false: the planted table without UNIQUE

    Status begin(bool) override;
    Status commit() override;
    void rollback() override;
    Status mark() override;
    Status back() override;
    Result<std::string> epoch() override { return state.epoch; }
    Status set_epoch(const std::string&) override;
    Result<std::int64_t> archived() override { return state.archived; }
    Status set_archived(std::int64_t) override;
    Result<std::optional<sync::Device>> device(const std::string&) override;
    Result<std::vector<sync::Device>> devices() override;
    Status put_device(const sync::Device&) override;
    Status put_key(const std::string&, const std::string&) override;
    Result<std::string> key(const std::string&) override;
    Status set_revoked(const std::string&, std::int64_t) override;
    Result<std::optional<sync::Code>> code(const std::string&) override;
    Status put_code(const sync::Code&) override;
    Status use_code(const std::string&, const std::string&) override;
    Status put_session(const sync::Session&) override;
    Result<std::optional<sync::Session>> session(const std::string&) override;
    Status forget_sessions(std::int64_t) override { return {}; }
    Result<sync::Head> head(const std::string&) override;
    Result<std::vector<sync::Stored>> entries(const std::string&, const std::string&, std::int64_t, std::size_t) override;
    Result<journal::Vector> vector_of(const std::string&) override;
    Status append(std::span<const sync::Stored>) override;
    Status fill_body(const std::string&, std::int64_t, const std::string&, const std::string&) override;
    Result<std::vector<sync::Range>> lacking(const std::string&, std::size_t) override;
    Status quarantine(const sync::Quarantined&) override;
    Result<std::vector<sync::Quarantined>> quarantined() override;
    Result<std::int64_t> log_size() override { return state.log_size; }
    Result<sync::Digest> node(sync::NodeName) override;
    Status put_nodes(const std::vector<sync::Node>&) override;
    Status share(std::span<const std::string>, const std::string&) override;
    Result<bool> shares(const std::string&, const std::string&) override;
    Result<std::vector<std::tuple<std::string, std::string, std::int64_t>>> shared(const std::string&, const std::string&, std::size_t) override;
    Result<bool> names_blob(const std::string&, const std::vector<std::string>&, const std::string&) override;

private:
    Status append_one(const sync::Stored&);
    template <class T>
    void set(T& place, T value)
    {
        undo_.push_back([&place, before = place] { place = before; });
        place = std::move(value);
    }
    template <class Map>
    void put(Map& map, const typename Map::key_type& key, typename Map::mapped_type value)
    {
        const auto found = map.find(key);
        if (found == map.end()) undo_.push_back([&map, key] { map.erase(key); });
        else undo_.push_back([&map, key, before = found->second] { map[key] = before; });
        map[key] = std::move(value);
    }
    void undo_to(std::size_t);

    std::vector<std::function<void()>> undo_;
    std::size_t mark_ = 0;
    bool open_ = false;
};

} // namespace chockside::sim
