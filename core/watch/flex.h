#pragma once
// Flex test: does moving one place of a harness bring the interruptions? Begin times are laid against the marks of the person who moves it.

#include <core/watch/snapshot.h>

#include <algorithm>
#include <cstdint>
#include <map>
#include <string>
#include <vector>

namespace chockside::watch {

struct FlexRule {
    double join_s = 0.5;         ///< interruptions that begin within this time of the last beginning or end are one hit (contacts bounce)
    double least_exposure_s = 10;///< of a place, before "steady" or "no_relation" is said
    double alpha = 0.05;
};

/// Hits spread by chance alone fall on a place in proportion to the time it was moved: given the total, the count of a place is
/// binomial with its share of the time. One-sided exact p, multiplied by the number of places with exposure (Bonferroni).
/// The empty place (hands off) is one of them and the natural comparison: hits that keep to hands on as a whole are never without relation,
/// only not placed yet. Outcome: see FlexView.
FlexView judge_flex(const std::map<std::string, double>& exposure_s, const std::map<std::string, int>& hits, const FlexRule& rule = {});

class FlexTest {
public:
    explicit FlexTest(FlexRule rule = {}) : rule_(rule) {}
    void start(std::int64_t t_ns);
    void stop(std::int64_t t_ns);
    void mark(const std::string& place, std::int64_t t_ns);
    void hit(std::int64_t t_ns);
    /// An interruption ended: what follows at once is its echo (a flag that goes away again), no new hit.
    void over(std::int64_t t_ns) { last_hit_ns_ = std::max(last_hit_ns_, t_ns); }
    /// Time during which nothing could be seen (line closed or silent) is no exposure.
    void set_seeing(bool seeing, std::int64_t t_ns);
    FlexView view(std::int64_t t_ns) const;
    const std::string& place() const { return place_; }

private:
    void account(std::int64_t t_ns);
    FlexRule rule_;
    bool running_ = false, seeing_ = false;
    std::string place_;
    std::int64_t since_ns_ = 0, last_hit_ns_ = -1;
    std::map<std::string, double> exposure_;
    std::map<std::string, int> hits_;
};

} // namespace chockside::watch
