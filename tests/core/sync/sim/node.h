#pragma once

#include <tests/core/sync/sim/world.h>

namespace chockside::sim {

struct World::ShopClock final : Clock {
    const std::int64_t& t;
    std::int64_t wall;
    ShopClock(const std::int64_t& ms, std::int64_t begins) : t(ms), wall(begins) {}
    Now now() const override { return {wall + t, t, "shop"}; }
};

/// One tablet: what lasts (store, clocks), and the engine that a crash takes.
struct World::Node final : sync::Wire, Clock {
    World& world;
    std::size_t number;
    int life = 0;
    bool linked = true, cloned = false;
    std::int64_t wall;               ///< what this tablet thinks the time is, at boot
    MemoryStore store;
    std::vector<sync::Line> saved;   ///< shown as saved, I1
    std::unique_ptr<sync::Tablet> tablet;

    Node(World& w, std::size_t n) : world(w), number(n), wall(static_cast<std::int64_t>(w.random_.below(4'000'000'000'000))), store(w.random_)
    {
        store.apply_fault = [this] {
            if (!world.chance(0.02)) return ApplyFault::none;
            return world.random_.below(2) ? ApplyFault::undone : ApplyFault::unknown;
        };
    }

    void start()
    {
        ++life;
        sync::TabletSettings settings;
        settings.chunk = settings.range = 512;
        settings.poll_ms = 150'000;
        tablet = std::make_unique<sync::Tablet>(store, *this, *this, world.random_, settings);
        (void)tablet->start();
    }
    /// Faults are over: whatever needed a person gets one.
    void calm()
    {
        linked = true;
        if (!tablet->view().enrolled) world.enrol(*this); // it was away for longer than the code held
        tablet->link_up();
        world.wake(*this);
    }
    Now now() const override { return {wall + world.t_, world.t_, "boot-" + std::to_string(number)}; }
    void send(std::uint64_t id, sync::Request r, std::size_t) override
    {
        // Not at once: the engine is still in the middle of its step.
        world.at(world.t_, [this, id, at = life, r = std::move(r)]() mutable { world.deliver(*this, at, id, std::move(r)); });
    }
    void cancel(std::uint64_t) override {}
};

} // namespace chockside::sim
