#pragma once
// Two ways of one job, timed in turn in one run: on a shared machine only their ratio means something.

#include <algorithm>
#include <chrono>
#include <cstdio>
#include <vector>

namespace chockside::bench {

/// Keeps a result from being optimised away.
template <class T>
void keep(const T& value)
{
    asm volatile("" : : "g"(&value) : "memory");
}

template <class Work>
double seconds(Work& work, int times)
{
    const auto from = std::chrono::steady_clock::now();
    for (int i = 0; i < times; ++i) work();
    return std::chrono::duration<double>(std::chrono::steady_clock::now() - from).count();
}

/// Time of a over time of b: the median of `rounds` ratios of neighbouring runs, the order turned each round, after a warm-up.
template <class A, class B>
double ratio_ab(A a, B b, int reps, int rounds = 31)
{
    seconds(a, reps), seconds(b, reps);
    std::vector<double> ratios;
    for (int r = 0; r < rounds; ++r) {
        const bool turned = r % 2 != 0;
        const double first = turned ? seconds(b, reps) : seconds(a, reps), second = turned ? seconds(a, reps) : seconds(b, reps);
        ratios.push_back(turned ? second / first : first / second);
    }
    std::nth_element(ratios.begin(), ratios.begin() + rounds / 2, ratios.end());
    return ratios[static_cast<std::size_t>(rounds / 2)];
}

/// One line for tests/bench; `name` and `method` hold no quotes.
inline void print_line(int target, const char* name, double ratio, double bound, const char* method)
{
    std::printf("{\"target\":%d,\"name\":\"%s\",\"ratio\":%.4g,\"bound\":%g,\"method\":\"%s\"}\n", target, name, ratio, bound, method);
}

} // namespace chockside::bench
