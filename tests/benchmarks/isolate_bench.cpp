// links: core_isolate
// Target 51: posterior after one more answer, 50 to 500 causes and checks, pairs in, over one pass of log and exp through as many
// hypotheses. Target 52: next check, two ahead, over bare products of the rows that it must weigh at least once.
#include <core/base/random.h>
#include <core/isolate/isolate.h>
#include <tests/benchmarks/bench.h>

#include <cmath>
#include <cstdio>
#include <ctime>
#include <string>

using namespace chockside;
using namespace chockside::isolate;

namespace {

Model made(std::size_t n)
{
    SeededRandom random(11);
    Model m;
    m.pair_share = 0.04;
    for (std::size_t k = 0; k < n; ++k)
        m.causes.push_back({"c" + std::to_string(k), k == 0 ? "none" : k % 5 == 0 ? "unit" : "contact", "p" + std::to_string(k % 40), 0.2 + random.uniform(), k % 3 ? "intermittent" : "hard"});
    for (std::size_t c = 0; c < n; ++c) {
        Check check;
        check.id = "k" + std::to_string(c);
        check.outcomes = {"bad", "odd", "good"};
        check.minutes = 5 + 20 * random.uniform();
        for (std::size_t k = 0; k < n; ++k) {
            const double bad = random.uniform() < 0.06 ? 0.85 : 0.02;
            check.given.push_back({{bad, 0.03, 0.97 - bad}, {}});
        }
        m.checks.push_back(check);
    }
    return m;
}

Evidence answer(std::size_t check, const char* outcome)
{
    return {"e" + std::to_string(check), "k" + std::to_string(check), outcome, {}, Presence::showing, {}};
}

/// What cannot be saved: a logarithm and an exponential per hypothesis.
double floor_pass(std::vector<double>& w)
{
    double sum = 0;
    for (double& v : w) {
        v = std::log(0.5 + 0.25 * v);
        sum += std::exp(v);
    }
    return sum;
}

/// Of one call, this thread's processor time: others share the machine.
template <class Work>
double processor_ms(Work work)
{
    timespec from{}, to{};
    clock_gettime(CLOCK_THREAD_CPUTIME_ID, &from);
    work();
    clock_gettime(CLOCK_THREAD_CPUTIME_ID, &to);
    return 1000.0 * static_cast<double>(to.tv_sec - from.tv_sec) + static_cast<double>(to.tv_nsec - from.tv_nsec) / 1e6;
}

void size(std::size_t n)
{
    Reasoner r = *Reasoner::make(made(n));
    for (std::size_t c = 0; c < 8; ++c) (void)r.add(answer(c, c == 3 ? "bad" : "good"));
    std::vector<double> w(n + (n - 1) * (n - 2) / 2, 0.3);
    const int reps = n > 200 ? 5 : 20;
    // A branch is copied outside of what is timed: an answer is given once.
    std::vector<Reasoner> fresh;
    std::size_t used = 0;
    auto one_more = [&] {
        if (used == fresh.size()) fresh.assign(static_cast<std::size_t>(reps), r), used = 0;
        Reasoner& b = fresh[used++];
        (void)b.add(answer(9, "good"));
        bench::keep(b.causes());
    };
    auto pass = [&] { bench::keep(floor_pass(w)); };
    Reasoner timed = r;
    const double answer_ms = processor_ms([&] {
        (void)timed.add(answer(9, "good"));
        bench::keep(timed.causes());
    });
    const std::string name = "posterior after one more answer, " + std::to_string(n) + " causes";
    bench::print_line(51, name.c_str(), bench::ratio_ab(one_more, pass, reps, 9), 6, "Reasoner::add and causes (a copy of the branch in) over one log and exp per hypothesis, in turns, median of 9");
    Plan last;
    auto next = [&] { last = plan(r, {}, {600, 900, 0, 60}, Presence::showing, 8), bench::keep(last); };
    next();
    const double next_ms = processor_ms(next);
    std::vector<double> rows(last.hypotheses * 3, 0.4), p(last.hypotheses, 0.5);
    auto products = [&] {
        double sum = 0;
        for (std::size_t c = 0; c < n; ++c)
            for (std::size_t o = 0; o < 3; ++o)
                for (std::size_t i = 0; i < p.size(); ++i) sum += p[i] * rows[o * p.size() + i];
        bench::keep(sum);
    };
    const std::string second = "next check two ahead, " + std::to_string(n) + " causes and checks";
    bench::print_line(52, second.c_str(), bench::ratio_ab(next, products, n > 200 ? 1 : 3, 5), 40, "plan over the products of every row with the weights, in turns, median of 5");
    std::fprintf(stderr, "isolate_bench: %zu causes and checks: one answer %.2f ms, next check %.1f ms of processor time over %zu hypotheses, rest %.4f\n", n, answer_ms, next_ms, last.hypotheses, last.rest);
}

} // namespace

int main()
{
    for (std::size_t n : {50u, 100u, 200u, 500u}) size(n);
}
