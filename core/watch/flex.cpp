#include <core/watch/flex.h>

#include <core/stats/counts.h>

#include <algorithm>

namespace chockside::watch {

namespace {

double seconds(std::int64_t ns)
{
    return static_cast<double>(ns) * 1e-9;
}

FlexPlace row_of(const std::string& place, double exposure, const std::map<std::string, int>& hits)
{
    const auto found = hits.find(place);
    return {place, found == hits.end() ? 0 : found->second, exposure, 1};
}

bool moved(const FlexPlace& p) { return !p.place.empty(); }

/// Chance of as many hits with hands on, wherever, if hands made no difference.
double hands_p(const FlexView& v)
{
    int hits = 0;
    double exposure_s = 0;
    for (const FlexPlace& p : v.places)
        if (moved(p)) hits += p.hits, exposure_s += p.exposure_s;
    return stats::marked_time_p(v.hits, hits, std::min(1.0, exposure_s / v.exposure_s)).value_or(1);
}

std::string outcome_of(const FlexView& v, const FlexRule& rule)
{
    const auto enough = [&](bool hands) {
        return std::any_of(v.places.begin(), v.places.end(), [&](const FlexPlace& p) { return moved(p) == hands && p.exposure_s >= rule.least_exposure_s; });
    };
    if (!enough(true)) return "not_enough";
    if (v.hits == 0) return "steady";
    if (v.places.size() < 2) return "not_enough"; // nothing to compare with
    const auto least = std::min_element(v.places.begin(), v.places.end(), [](const FlexPlace& a, const FlexPlace& b) { return a.p < b.p; });
    if (least->p <= rule.alpha && moved(*least)) return "at_" + least->place;
    // Hits that come with hands on are related, though to which place is open yet; without hands off nothing tells that they are not.
    return enough(false) && hands_p(v) > rule.alpha ? "no_relation" : "not_enough";
}

} // namespace

FlexView judge_flex(const std::map<std::string, double>& exposure_s, const std::map<std::string, int>& hits, const FlexRule& rule)
{
    FlexView v;
    for (const auto& [place, exposure] : exposure_s) {
        if (exposure <= 0) continue;
        v.places.push_back(row_of(place, exposure, hits));
        v.exposure_s += exposure;
        v.hits += v.places.back().hits;
    }
    const auto tests = static_cast<double>(v.places.size());
    for (FlexPlace& p : v.places) p.p = std::min(1.0, tests * stats::marked_time_p(v.hits, p.hits, std::min(1.0, p.exposure_s / v.exposure_s)).value_or(1));
    v.outcome = outcome_of(v, rule);
    return v;
}

void FlexTest::account(std::int64_t t_ns)
{
    if (running_ && seeing_ && t_ns > since_ns_) exposure_[place_] += seconds(t_ns - since_ns_);
    since_ns_ = t_ns;
}

void FlexTest::start(std::int64_t t_ns)
{
    exposure_.clear();
    hits_.clear();
    last_hit_ns_ = -1;
    place_.clear(); // a test begins with hands off, whatever the one before ended on
    running_ = true;
    since_ns_ = t_ns;
}

void FlexTest::stop(std::int64_t t_ns)
{
    account(t_ns);
    running_ = false;
    place_.clear();
}

void FlexTest::mark(const std::string& place, std::int64_t t_ns)
{
    account(t_ns);
    place_ = place;
}

void FlexTest::set_seeing(bool seeing, std::int64_t t_ns)
{
    account(t_ns);
    seeing_ = seeing;
}

void FlexTest::hit(std::int64_t t_ns)
{
    const bool same = last_hit_ns_ >= 0 && seconds(t_ns - last_hit_ns_) < rule_.join_s;
    last_hit_ns_ = std::max(last_hit_ns_, t_ns);
    if (running_ && !same) ++hits_[place_];
}

FlexView FlexTest::view(std::int64_t t_ns) const
{
    auto exposure = exposure_;
    if (running_ && seeing_ && t_ns > since_ns_) exposure[place_] += seconds(t_ns - since_ns_);
    FlexView v = judge_flex(exposure, hits_, rule_);
    v.running = running_;
    v.place = place_;
    return v;
}

} // namespace chockside::watch
