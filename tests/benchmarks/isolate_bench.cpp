// links: core_isolate
// Isolation as it grows: one more answer over singles and pairs, and the next check two deep, at 50 to 500 causes and checks. Milliseconds
// are printed beside bounds that a technician feels; the ratio of neighbouring sizes shows the growth.
#include <core/base/random.h>
#include <core/isolate/reasoner.h>
#include <tests/benchmarks/bench.h>

#include <numeric>
#include <string>

using namespace chockside;
using namespace chockside::isolate;

namespace {

/// Every check parts a few causes well and the others little, as the checks of an aircraft do.
Model model(std::size_t n)
{
    SeededRandom r(n);
    Model m;
    m.pair_share = 0.05;
    const char* classes[] = {"unit", "contact", "wiring", "supply", "sensor"};
    for (std::size_t k = 0; k < n; ++k) m.causes.push_back({"c" + std::to_string(k), k + 2 == n ? "none" : k + 1 == n ? "unlisted" : classes[k % 5], "p" + std::to_string(k % 12), 0.2 + r.uniform(), k % 3 ? "hard" : "intermittent"});
    for (std::size_t c = 0; c < n; ++c) {
        Check check;
        check.id = "q" + std::to_string(c);
        check.outcomes = {"bad", "odd", "good"};
        for (std::size_t k = 0; k < n; ++k) {
            const bool hit = r.below(20) == 0;
            check.given.push_back(hit ? Row{{0.85, 0.1, 0.05}, {}} : Row{{0.03, 0.07, 0.9}, {}});
        }
        check.minutes = 1 + static_cast<double>(r.below(25));
        if (c % 3 == 0) check.panel = "panel" + std::to_string(c % 9), check.access_minutes = 10;
        check.disturbs = static_cast<int>(c % 3);
        m.checks.push_back(check);
    }
    return m;
}

/// After a few answers that fit cause 0 in the way a half-done job's do.
Reasoner half_done(const Model& m)
{
    auto reasoner = std::move(*Reasoner::make(m));
    for (std::size_t c = 0; c < 8; ++c)
        (void)reasoner.add({std::to_string(c), m.checks[c].id, m.checks[c].given[0].outcomes[0] > 0.5 ? "bad" : "good", {}, Presence::showing, {}, 1});
    return reasoner;
}

template <class Work>
double milliseconds(Work work, int times)
{
    std::vector<double> all;
    for (int i = 0; i < times; ++i) all.push_back(1000 * bench::seconds(work, 1));
    std::nth_element(all.begin(), all.begin() + times / 2, all.end());
    return all[static_cast<std::size_t>(times / 2)];
}

} // namespace

int main()
{
    for (const std::size_t n : {50, 100, 200, 500}) {
        const Model m = model(n);
        Reasoner reasoner = half_done(m);
        std::size_t at = 8;
        const double answer = milliseconds([&] {
            const auto& check = m.checks[8 + at++ % (n - 8)];
            (void)reasoner.add({"e", check.id, "good", {}, Presence::showing, {}, 1});
            bench::keep(reasoner.of_causes());
        }, 15);
        Reasoner fresh = half_done(m);
        Next next;
        const double look = milliseconds([&] { next = fresh.next({}, {600, 900, 0, 60}, Presence::showing, 8); }, 9);
        std::printf("{\"name\":\"isolate, %zu causes and checks, pairs\",\"answer_ms\":%.3g,\"answer_bound_ms\":5,\"next_ms\":%.3g,\"next_bound_ms\":50,\"looked_at\":%zu,\"left_out\":%.2g}\n", n, answer, look,
            fresh.likelihood().size(), next.rest);
    }
}
