#pragma once
// Does a word stand still? Slope and scatter over a moving window, each with its confidence bound, against the profile's limits.

#include <core/profile/model.h>
#include <core/watch/snapshot.h>

#include <cstdint>
#include <deque>
#include <optional>
#include <span>
#include <string>
#include <vector>

namespace chockside::watch {

/// Straight line through block means, with what can be said of it.
struct Steadiness {
    double mean = 0;
    double slope = 0, slope_bound = 0;     ///< per second; |slope| + t * its standard error
    double scatter = 0, scatter_bound = 0; ///< standard deviation about the line; upper confidence bound
};

struct Sample {
    double t_s = 0;
    double value = 0;
};

/// At least 3 samples in each of `blocks` equal parts of the window, else nothing. Samples of a stream are alike from one to the
/// next, so the slope is fitted to block means (ordinary least squares, blocks - 2 degrees of freedom) and the scatter's bound takes
/// the same degrees of freedom: wider than white noise would need, never narrower. confidence in (0.5, 1).
std::optional<Steadiness> steadiness(std::span<const Sample> samples, double window_s, double confidence, int blocks = 20);

class SettleWatch {
public:
    SettleWatch(profile::SettleRule rule, std::string signal, bool wraps);
    /// A value that is not good empties the window.
    void add(std::int64_t t_ns, double value, bool good);
    void clear()
    {
        samples_.clear();
        held_ = false;
    }
    /// Settled is said when both bounds lie within the limits, and taken back when an estimate itself leaves them: a word that stands at
    /// the edge of certainty doesn't come and go.
    SettleView view(std::int64_t t_ns) const;

private:
    double near_last(double value) const;
    profile::SettleRule rule_;
    std::string signal_;
    bool held_ = false;           ///< settled at the last look of its own
    double looked_s_ = 0;
    bool wraps_;
    std::deque<Sample> samples_;
};

} // namespace chockside::watch
