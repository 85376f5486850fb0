#pragma once
// One tablet and one shop on a wire that answers in the same instant of a standing clock, unless a test does something to it.

#include <core/sync/tablet.h>
#include <tests/core/sync/sim/blob_server.h>
#include <tests/core/sync/sim/memory_ledger.h>
#include <tests/core/sync/sim/memory_store.h>

#include <deque>

namespace chockside::tests {

struct SetClock final : Clock {
    std::int64_t wall = 1'780'000'000'000, mono = 0;
    Now now() const override { return {wall + mono, mono, "boot"}; }
};

struct Shop {
    SeededRandom random{7};
    SetClock clock;
    sim::MemoryLedger ledger;
    trust::KeyPair key = trust::KeyPair::make(random);
    sync::Receive receive;
    sim::BlobServer blobs;

    Shop() : receive(set_up(ledger), clock, random, key) {}
    static sim::MemoryLedger& set_up(sim::MemoryLedger& l)
    {
        l.state.epoch = std::string(32, 'e');
        return l;
    }
    sync::Answer answer(const sync::Request& r)
    {
        if (auto a = blobs.answer(receive, r)) return std::move(*a);
        return receive.answer(r);
    }
};

/// A wire whose answers wait until run() gives them.
struct DirectWire final : sync::Wire {
    explicit DirectWire(Shop& s) : shop(s) {}
    Shop& shop;
    std::deque<std::pair<std::uint64_t, sync::Request>> asked;
    std::function<sync::WireAnswer(const sync::Request&, sync::Answer)> harm = [](const sync::Request&, sync::Answer a) { return sync::WireAnswer{{}, std::move(a)}; };
    long requests = 0;
    std::size_t bytes = 0; ///< both ways, with the header lines

    void send(std::uint64_t id, sync::Request r, std::size_t) override { asked.emplace_back(id, std::move(r)); }
    void cancel(std::uint64_t) override {}
    /// What travels of a request or answer in HTTP/1.1.
    static std::size_t size(std::string_view first_line, const sync::Headers& h, const std::string& body)
    {
        std::size_t n = first_line.size() + 4 + body.size() + 60; // host, content-length, connection
        for (const auto& [name, value] : h) n += name.size() + value.size() + 4;
        return n;
    }
};

struct Pair {
    Shop& shop;
    sim::MemoryStore& store;
    SetClock clock;
    SeededRandom random{3};
    DirectWire wire{shop};
    sync::Tablet tablet;

    Pair(Shop& s, sim::MemoryStore& kept, sync::TabletSettings settings = {}) : shop(s), store(kept), tablet(kept, wire, clock, random, settings) { (void)tablet.start(); }
    void enrol() { (void)tablet.enrol(shop.receive.enrolment_text(*shop.receive.make_code(), "https://shop.example", {})); }
    /// Gives every answer, and lets the clock go on while the engine waits for less than `patience_ms`.
    void run(std::int64_t patience_ms = 0, long most = 1'000'000)
    {
        for (std::int64_t end = clock.mono + patience_ms; most > 0; --most) {
            tablet.wake();
            if (wire.asked.empty()) {
                const auto due = tablet.next_wake();
                if (!due || *due > end) return;
                clock.mono = std::max(clock.mono, *due);
                continue;
            }
            auto [id, request] = std::move(wire.asked.front());
            wire.asked.pop_front();
            ++wire.requests;
            wire.bytes += DirectWire::size(request.method + request.target, request.headers, request.body);
            auto answer = shop.answer(request);
            wire.bytes += DirectWire::size("HTTP/1.1 200 OK", answer.headers, answer.body);
            tablet.answered(id, wire.harm(request, std::move(answer)));
        }
    }
};

inline void write(sim::MemoryStore& s, const Clock& clock, SeededRandom& random, const std::string& job, const std::string& text, const std::vector<std::string>& att = {})
{
    s.write(job, json::Object{{"text", text}}, clock.now(), random, att);
}

} // namespace chockside::tests
