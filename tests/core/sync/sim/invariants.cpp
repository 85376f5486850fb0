// I1 to I15 of the design (reliability: "Invariants"). I6 has nothing to look at while nothing is pruned; I9 and I13 are tests of their
// own as well (tst_messages, tst_receive), but every tablet here has an arbitrary wall clock.
#include <tests/core/sync/sim/node.h>

#include <core/journal/verify.h>

#include <algorithm>

namespace chockside::sim {

using namespace sync;

void World::check_always()
{
    const auto& s = ledger_.state;
    if (heads_epoch_ != s.epoch) heads_seen_.clear(), heads_epoch_ = s.epoch;
    std::int64_t total = 0;
    for (const auto& [author, chain] : s.chains) {
        total += static_cast<std::int64_t>(chain.size());
        const auto size = static_cast<std::int64_t>(chain.size());
        if (size && chain.back().stated.seq != size) verdict.broke("I3/I4 not dense: " + author);
        if (size > 1 && chain.back().stated.prev != chain[chain.size() - 2].stated.hash) verdict.broke("I10 merged: " + author);
        if (size < heads_seen_[author]) verdict.broke("I4 head went back: " + author);
        heads_seen_[author] = size;
        const auto revoked = revoked_at_.find(author);
        if (revoked != revoked_at_.end() && chain.size() > revoked->second) verdict.broke("I12 added after revocation: " + author);
    }
    if (total != s.log_size) verdict.broke("log size");
    for (const auto& n : nodes_) {
        const auto& known = n->store.durable;
        if (known.receipt && !holds(*known.receipt, known.account.receiver_key)) return verdict.broke("I7 acked by a receipt that nobody signed: tablet " + std::to_string(n->number));
        if (!known.receipt || known.receipt->epoch != s.epoch) continue;
        const auto chain = s.chains.find(n->store.author());
        const auto head = chain == s.chains.end() ? 0 : static_cast<std::int64_t>(chain->second.size());
        if (known.receipt->seq > head) return verdict.broke("I7 acked beyond the shop's head: tablet " + std::to_string(n->number));
        if (chain->second[static_cast<std::size_t>(known.receipt->seq) - 1].stated.hash != known.receipt->hash) verdict.broke("I2 receipt for another entry");
        if (known.archived > known.receipt->seq) verdict.broke("I6 archived beyond acked");
    }
}

void World::check_end()
{
    for (const auto& [author, chain] : ledger_.state.chains)
        for (std::size_t i = 0; i < chain.size(); ++i)
            if (chain[i].stated.seq != static_cast<std::int64_t>(i) + 1 || chain[i].stated.prev != (i ? chain[i - 1].stated.hash : "")) verdict.broke("I4 chain of " + author);
    for (const auto& [sha, bytes] : blobs_.blobs)
        if (trust::sha256_hex(as_bytes(bytes)) != sha) verdict.broke("I8 blob");
    for (auto& n : nodes_) check_drained(*n);
    check_fold();
}

void World::check_drained(Node& n)
{
    const std::string who = "tablet " + std::to_string(n.number) + ": ";
    auto& store = n.store;
    if (store.own != n.saved) return verdict.broke("I1 " + who + "lost what was saved");
    // After a restore a colleague's copy of an old stream comes by way of the job; it is passed over then, and no effect.
    if (store.repeats && !counts.restores) return verdict.broke("I11 " + who + "an effect twice");
    const QueueView view = n.tablet->view();
    // I11: nothing below a position is missing.
    for (const auto& [place, position] : store.durable.positions)
        for (const auto& e : ledger_.state.chains[place.author])
            if ((place.job.empty() || e.stated.job == place.job) && e.stated.seq <= position.seq && !store.others[place.author].contains(e.stated.seq)) return verdict.broke("I11 " + who + "skipped " + e.stated.job);
    if (revoked_at_.contains(store.author())) {
        if (view.stopped != "revoked") verdict.broke("I12 " + who + "was not told: " + view.stopped + " " + view.reason);
        return;
    }
    const auto& chain = ledger_.state.chains[store.author()];
    if (n.cloned) { // two under one key: whoever came second is told, nothing is mixed
        const bool mine = chain.size() <= store.own.size() && std::equal(chain.begin(), chain.end(), store.own_hashes.begin(), [](const Stored& s, const std::string& h) { return s.stated.hash == h; });
        if (!mine && view.stopped != "fork" && view.stopped != "ahead") verdict.broke("I10 " + who + "fork not told: '" + view.stopped + "' " + view.reason);
        return;
    }
    if (!view.stopped.empty()) return verdict.broke("I15 " + who + "stopped: " + view.stopped);
    if (chain.size() != store.own.size() || view.at_shop != static_cast<std::int64_t>(store.own.size()))
        return verdict.broke("I15 " + who + std::to_string(store.own.size()) + " own, " + std::to_string(chain.size()) + " there, acked " + std::to_string(view.at_shop) + " " + view.reason);
    for (std::size_t i = 0; i < chain.size(); ++i)
        if (!(chain[i].line == store.own[i])) return verdict.broke("I2 " + who + "other bytes or no body at " + std::to_string(i + 1));
    for (const auto& b : store.named)
        if (!blobs_.blobs.contains(b.sha256)) return verdict.broke("I15 " + who + "attachment not there: " + view.reason);
    // What colleagues wrote into shared jobs, and the shop's words, are here.
    const auto& streams = store.durable.streams;
    for (const auto& [author, all] : ledger_.state.chains) {
        const bool stream = streams && (author == trust::author_id(*from_hex(streams->device_key)) || author == trust::author_id(*from_hex(streams->broadcast_key)));
        bool blocked = false;
        for (const auto& e : all) {
            blocked = blocked || (!stream && e.line.body.empty());
            const bool mine = stream || (author != store.author() && *ledger_.shares(e.stated.job, store.author()));
            if (mine && !blocked && !store.others[author].contains(e.stated.seq)) return verdict.broke("I15 " + who + "not taken in: " + e.stated.job + "/" + std::to_string(e.stated.seq) + " " + view.reason);
            for (const auto& sha : e.stated.att)
                if (mine && !blocked && blobs_.blobs.contains(sha) && !store.blobs.contains(sha)) return verdict.broke("I15 " + who + "attachment not fetched: " + view.reason);
        }
    }
}

/// I5: the same set, read in any order, stands in the same causal order everywhere.
void World::check_fold()
{
    std::vector<journal::Entry> set;
    std::map<std::string, std::string> keys = ledger_.state.keys;
    for (const auto& [author, chain] : ledger_.state.chains)
        for (const auto& e : chain)
            if (auto entry = entry_of(e.line)) set.push_back(std::move(*entry));
    const auto report = journal::verify(set, keys);
    if (!report.ok) verdict.broke("I9 verify: " + report.first_bad->author + "/" + std::to_string(report.first_bad->seq) + " " + report.first_bad->reason);
    const auto order = [](const std::vector<journal::Entry>& entries) {
        std::string all;
        for (const auto* e : journal::causal_order(entries)) all += e->hash;
        return all;
    };
    const std::string first = order(set);
    for (std::size_t i = set.size(); i > 1; --i) std::swap(set[i - 1], set[random_.below(i)]);
    if (order(set) != first) verdict.broke("I5 order");
}

} // namespace chockside::sim
