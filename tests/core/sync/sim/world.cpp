#include <tests/core/sync/sim/node.h>

#include <core/base/planted.h>

#include <algorithm>

namespace chockside::sim {

using namespace sync;

void Counts::add(const Counts& o)
{
    events += o.events, requests += o.requests, crashes += o.crashes, lost += o.lost, doubled += o.doubled, cut += o.cut, commits_failed += o.commits_failed, restores += o.restores, forks += o.forks;
    revocations += o.revocations, forged += o.forged, entries += o.entries, taken_in += o.taken_in, blobs += o.blobs, strange += o.strange;
}

World::World(std::uint64_t seed) : random_(seed)
{
    clock_ = std::make_unique<ShopClock>(t_, 1'780'000'000'000);
    shop_key_ = trust::KeyPair::make(random_);
    ledger_.state.epoch = std::string(32, 'e');
    ledger_.unique = !PLANTED(duplicates_appended);
    ledger_.commit_fault = [this] {
        if (!chance(0.02)) return CommitFault::none;
        ++counts.commits_failed;
        // With the planted answer before the commit the failure that matters is the one that takes it back.
        return random_.below(2) ? CommitFault::undone : CommitFault::unknown;
    };
    shop_ = std::make_unique<Receive>(ledger_, *clock_, random_, *shop_key_);
    const std::size_t n = 2 + random_.below(2);
    for (std::size_t i = 0; i < n; ++i) nodes_.push_back(std::make_unique<Node>(*this, i));
}

World::~World() = default;

void World::at(std::int64_t ms, std::function<void()> act)
{
    events_.push({std::max(ms, t_), order_++, std::move(act)});
}

void World::note(std::string_view bytes)
{
    for (const char c : bytes) trace = (trace ^ static_cast<unsigned char>(c)) * 1099511628211ull;
}

void World::run_until(std::int64_t ms)
{
    while (!events_.empty() && events_.top().at <= ms) {
        Event e = events_.top();
        events_.pop();
        t_ = std::max(t_, e.at);
        e.act();
        ++counts.events;
        check_always();
        if (verdict.violations) return;
    }
    t_ = ms;
}

void World::run()
{
    constexpr std::int64_t storm = 20 * 60'000, retry = 300'000, poll = 150'000;
    for (auto& n : nodes_) enrol(*n);
    plan();
    run_until(storm);
    if (verdict.violations) return;
    faults_ = false;
    if (!shop_up_) restart_shop();
    for (auto& n : nodes_) {
        n->store.locked = false;
        if (!n->tablet) n->start();
        n->calm();
    }
    run_until(storm + 3 * retry + poll);
    if (!verdict.violations) check_end();
    for (auto& n : nodes_) counts.entries += static_cast<long>(n->store.own.size()), counts.taken_in += n->store.effects;
    counts.blobs += static_cast<long>(blobs_.blobs.size());
    note(ledger_.state.epoch);
    for (const auto& [author, chain] : ledger_.state.chains)
        for (const auto& e : chain) note(e.stated.hash);
}

void World::enrol(Node& n)
{
    const auto fault = std::exchange(faults_, false);
    const auto code = shop_->make_code();
    faults_ = fault;
    if (!n.tablet) n.start();
    const std::string text = shop_->enrolment_text(*code, "https://shop.example", {});
    while (!n.tablet->enrol(text)) {} // a person holds the tablet before the code again
    wake(n);
}

void World::plan()
{
    constexpr std::int64_t storm = 20 * 60'000;
    const auto some = [&](std::size_t least, std::size_t most, auto act) {
        for (std::size_t i = least + random_.below(most - least + 1); i > 0; --i) at(static_cast<std::int64_t>(random_.below(storm)), act);
    };
    for (auto& p : nodes_) {
        Node* n = p.get();
        some(4, 10, [this, n] { write_something(*n); });
        some(0, 3, [this, n] { crash(*n); });
        some(0, 2, [this, n] { n->linked = !n->linked, n->tablet && n->linked ? n->tablet->link_up() : void(); wake(*n); });
        some(0, 2, [n] { n->store.locked = !n->store.locked; });
        some(0, 2, [this, n] { n->wall = static_cast<std::int64_t>(random_.below(4'000'000'000'000)); });
    }
    some(1, 5, [this] { shop_acts(); });
    some(0, 3, [this] { restart_shop(); });
    if (random_.below(3) == 0) {
        at(static_cast<std::int64_t>(random_.below(storm / 2)), [this] {
            // A backup without one of the devices asks for a new enrolment by a person: not this history.
            if (std::all_of(nodes_.begin(), nodes_.end(), [this](const auto& n) { return ledger_.state.devices.contains(n->store.author()); })) backup_ = ledger_.state;
        });
        at(storm / 2 + static_cast<std::int64_t>(random_.below(storm / 2)), [this] { restore(); });
    }
    if (random_.below(6) == 0) at(static_cast<std::int64_t>(random_.below(storm)), [this] { revoke(*nodes_[random_.below(nodes_.size())]); });
    if (random_.below(6) == 0) at(static_cast<std::int64_t>(random_.below(storm)), [this] { clone(*nodes_[random_.below(nodes_.size())]); });
}

void World::write_something(Node& n)
{
    const char* jobs[] = {"J-shared", "J-own-0", "J-own-1", "J-own-2"};
    std::vector<std::string> att;
    if (random_.below(6) == 0) {
        Bytes b(random_.below(8) ? 200 + random_.below(1500) : 512 * random_.below(4)); // empty, too, and just as long as some ranges
        random_.fill(b);
        att.push_back(trust::sha256_hex(b));
        n.store.blobs[att.back()] = b;
    }
    for (std::size_t i = 1 + random_.below(3); i > 0; --i) {
        const std::string job = random_.below(2) ? jobs[0] : jobs[1 + n.number];
        n.store.write(job, json::Object{{"text", std::string(random_.below(60), 'x')}, {"n", static_cast<std::int64_t>(n.store.own.size())}}, n.now(), random_, att);
        n.saved.push_back(n.store.own.back());
        att.clear();
    }
    if (n.tablet) n.tablet->entries_written();
    wake(n);
}

void World::crash(Node& n)
{
    ++counts.crashes;
    note("crash");
    n.tablet.reset();
    ++n.life;
    at(after(60'000), [this, &n] {
        if (!n.tablet) n.start();
        wake(n);
    });
}

void World::wake(Node& n)
{
    if (!n.tablet) return;
    n.tablet->wake();
    const auto due = n.tablet->next_wake();
    if (!due) return;
    const int life = n.life;
    at(*due, [this, &n, life] {
        if (n.life == life && n.tablet && n.tablet->next_wake() && *n.tablet->next_wake() <= t_) wake(n);
    });
}

// --- The wire and the shop.

void World::deliver(Node& n, int life, std::uint64_t id, Request r)
{
    ++counts.requests;
    note(r.target);
    note(r.body);
    const auto fault = [&](WireFault f) { at(after(2000), [this, &n, life, id, f] { tell(n, life, id, {f, {}}); }); };
    if (!n.linked || chance(0.04)) return ++counts.lost, fault(WireFault::no_route);
    const auto arrive = [this, &n, life, id](Request arriving) {
        waiting_.push_back({&n, life, id, std::move(arriving)});
        if (std::exchange(serving_, true)) return;
        at(t_ + static_cast<std::int64_t>(random_.below(20)), [this] { serve(); }); // what waits goes into one commit
    };
    if (chance(0.03)) { // the same request once more, later: a proxy that repeats
        ++counts.doubled;
        at(after(5000), [arrive, r] { arrive(r); });
    }
    at(after(400), [arrive, r = std::move(r)] { arrive(r); });
}

void World::serve()
{
    serving_ = false;
    std::vector<Waiting> now = std::exchange(waiting_, {});
    if (!shop_up_) {
        for (auto& w : now) at(after(1000), [this, w] { tell(*w.node, w.life, w.id, {WireFault::no_route, {}}); });
        return;
    }
    std::vector<Checked> checked;
    std::vector<Answer> answers(now.size());
    std::vector<std::size_t> asked;
    for (std::size_t i = 0; i < now.size(); ++i) {
        if (auto a = blobs_.answer(*shop_, now[i].request)) answers[i] = std::move(*a);
        else checked.push_back(check(now[i].request)), asked.push_back(i);
    }
    const auto told = shop_->answer_all(checked);
    for (std::size_t i = 0; i < told.size(); ++i) answers[asked[i]] = told[i];
    const bool dies = chance(0.01); // after the commit, before a byte of the answer
    for (std::size_t i = 0; i < now.size(); ++i) {
        note(answers[i].body);
        if (answers[i].status == 409 && answers[i].body.find("\"fork\"") != std::string::npos) ++counts.forks;
        WireAnswer a = dies ? WireAnswer{WireFault::cut, {}} : harm(std::move(answers[i]));
        at(after(400), [this, w = now[i], a = std::move(a)] { tell(*w.node, w.life, w.id, a); });
    }
    if (dies) restart_shop();
}

/// What can happen to an answer on its way. A cut body without a fault stands for a wrong Content-Length.
WireAnswer World::harm(Answer a)
{
    if (chance(0.03)) return ++counts.lost, WireAnswer{random_.below(2) ? WireFault::stalled : WireFault::cut, {}};
    if (chance(0.03) && !a.body.empty()) {
        ++counts.cut;
        a.body.resize(random_.below(a.body.size()));
        return {{}, std::move(a)};
    }
    if (chance(0.02)) return ++counts.strange, WireAnswer{{}, {200, {{"content-type", "text/html"}}, "<html>Welcome to the hotel</html>"}};
    if (chance(0.02)) {
        constexpr int codes[] = {500, 502, 503, 507};
        return ++counts.strange, WireAnswer{{}, {codes[random_.below(4)], {{"retry-after", "7"}}, ""}};
    }
    if (chance(0.02)) return {{}, forge(std::move(a))};
    return {{}, std::move(a)};
}

/// A shop that lies: a receipt for more than it holds, with everything right but the signature.
Answer World::forge(Answer a)
{
    auto p = push_answer_from(a.body);
    if (!p || !p->receipt) return a;
    ++counts.forged;
    for (const auto& n : nodes_)
        if (n->store.author() == p->receipt->author && n->store.own.size() > static_cast<std::size_t>(p->receipt->seq)) {
            p->receipt->seq = static_cast<std::int64_t>(n->store.own.size());
            p->receipt->hash = n->store.own_hashes.back();
        }
    p->receipt->log_size += 5;
    a.body = text(*p);
    a.headers["content-digest"] = content_digest(a.body);
    return a;
}

void World::tell(Node& n, int life, std::uint64_t id, WireAnswer a)
{
    if (n.life != life || !n.tablet) return;
    n.tablet->answered(id, std::move(a));
    wake(n);
}

void World::restart_shop()
{
    shop_up_ = !shop_up_;
    if (!shop_up_) {
        note("down");
        at(after(120'000), [this] { if (!shop_up_) restart_shop(); });
        return;
    }
    note("up");
    shop_ = std::make_unique<Receive>(ledger_, *clock_, random_, *shop_key_);
}

void World::shop_acts()
{
    Node& n = *nodes_[random_.below(nodes_.size())];
    const std::string device = n.store.author();
    if (!ledger_.state.devices.contains(device)) return;
    if (random_.below(3) == 0) (void)shop_->say({}, "shop", {"notice", 1, json::Object{{"text", "hello"}}, {}, "LT", {}});
    else (void)shop_->say(device, "J-shared", {random_.below(2) ? "assigned" : "replied", 1, json::Object{{"text", "look at it"}}, {}, "LT", {}});
    if (random_.below(2)) (void)shop_->archived(ledger_.state.log_size);
}

void World::restore()
{
    if (!backup_) return;
    ++counts.restores;
    note("restore");
    ledger_.state = *backup_;
    shop_ = std::make_unique<Receive>(ledger_, *clock_, random_, *shop_key_);
    const bool fault = std::exchange(faults_, false);
    (void)shop_->new_epoch();
    for (auto& [author, entries] : revoked_at_) { // the shop's people do it again, before the door opens
        (void)shop_->revoke(author, "LT", "lost");
        entries = ledger_.state.chains[author].size();
    }
    faults_ = fault;
}

void World::revoke(Node& n)
{
    const std::string device = n.store.author();
    if (!ledger_.state.devices.contains(device)) return;
    while (!shop_->revoke(device, "LT", "lost")) {} // a person who was told of an error does it again
    ++counts.revocations;
    revoked_at_.emplace(device, ledger_.state.chains[device].size());
}

/// A copy of a tablet, key and all, goes its own way.
void World::clone(Node& n)
{
    auto seed = n.store.key.seed();
    auto copy = std::make_unique<Node>(*this, nodes_.size() % 3);
    copy->store.key = std::move(*trust::KeyPair::from_seed(seed));
    copy->store.own = n.store.own;
    copy->store.own_hashes = n.store.own_hashes;
    copy->store.durable = n.store.durable;
    copy->store.others = n.store.others;
    copy->store.seen = n.store.seen;
    copy->store.receipts = n.store.receipts;
    copy->saved = n.saved;
    copy->cloned = n.cloned = true;
    nodes_.push_back(std::move(copy));
    Node& c = *nodes_.back();
    c.start();
    write_something(c);
    write_something(n);
    wake(c);
}

} // namespace chockside::sim
