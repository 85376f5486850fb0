#pragma once
// N tablets and a shop under one seed: time, wires, commits, clocks and crashes are drawn from it, and nothing else is.

#include <core/sync/tablet.h>
#include <tests/core/sync/sim/blob_server.h>
#include <tests/core/sync/sim/memory_ledger.h>
#include <tests/core/sync/sim/memory_store.h>

#include <memory>
#include <queue>

namespace chockside::sim {

/// What a history was worth and what it broke; the first violation in words.
struct Verdict {
    long violations = 0;
    std::string first;
    void broke(const std::string& what)
    {
        if (violations++ == 0) first = what;
    }
};

struct Counts {
    long events = 0, requests = 0, crashes = 0, lost = 0, doubled = 0, cut = 0, commits_failed = 0, restores = 0, forks = 0, revocations = 0, forged = 0, entries = 0, taken_in = 0, blobs = 0, strange = 0;
    void add(const Counts&);
};

class World {
public:
    World(std::uint64_t seed);
    ~World();
    /// Runs the whole history: faults, then calm; checks along the way and at the end.
    void run();

    Verdict verdict;
    Counts counts;
    std::uint64_t trace = 1469598103934665603ull; ///< of every byte that passed, in order (FNV-1a)

private:
    struct Node;
    struct ShopClock;
    struct Event {
        std::int64_t at;
        long order;
        std::function<void()> act;
        bool operator<(const Event& o) const { return at != o.at ? at > o.at : order > o.order; }
    };

    void at(std::int64_t ms, std::function<void()> act);
    void note(std::string_view bytes);
    bool chance(double p) { return faults_ && random_.uniform() < p; }
    std::int64_t after(std::int64_t most) { return t_ + 1 + static_cast<std::int64_t>(random_.below(static_cast<std::size_t>(most))); }

    void enrol(Node&);
    void plan();
    void write_something(Node&);
    void crash(Node&);
    void deliver(Node&, int life, std::uint64_t id, sync::Request);
    void serve();
    void tell(Node&, int life, std::uint64_t id, sync::WireAnswer);
    sync::WireAnswer harm(sync::Answer);
    sync::Answer forge(sync::Answer);
    void shop_acts();
    void restart_shop();
    void restore();
    void revoke(Node&);
    void clone(Node&);
    void wake(Node&);
    void run_until(std::int64_t ms);
    void check_always();
    void check_end();
    void check_drained(Node&);
    void check_fold();

    SeededRandom random_;
    std::int64_t t_ = 0;
    long order_ = 0;
    bool faults_ = true;
    std::priority_queue<Event> events_;

    std::unique_ptr<ShopClock> clock_;
    MemoryLedger ledger_;
    std::optional<trust::KeyPair> shop_key_;
    std::unique_ptr<sync::Receive> shop_;
    BlobServer blobs_;
    bool shop_up_ = true;
    int shop_life_ = 0;
    struct Waiting {
        Node* node;
        int life;
        std::uint64_t id;
        sync::Request request;
    };
    std::vector<Waiting> waiting_;
    bool serving_ = false;
    std::optional<ShopState> backup_;
    std::map<std::string, std::int64_t> heads_seen_;      ///< I4
    std::string heads_epoch_;
    std::map<std::string, std::size_t> revoked_at_;       ///< author -> entries when it was revoked, I12
    std::vector<std::unique_ptr<Node>> nodes_;
};

} // namespace chockside::sim
