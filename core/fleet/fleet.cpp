#include <core/fleet/fleet.h>

#include <core/stats/counts.h>
#include <core/stats/distributions.h>

#include <algorithm>
#include <cmath>
#include <set>
#include <tuple>

namespace chockside::fleet {

namespace {

constexpr std::int64_t day_ms = 86'400'000;

/// Jobs that count, in order of time.
std::vector<const JobFacts*> counted(const std::vector<JobFacts>& jobs, const Options& o)
{
    std::vector<const JobFacts*> out;
    for (const auto& j : jobs)
        if (j.practice == o.practice) out.push_back(&j);
    std::sort(out.begin(), out.end(), [](const auto* a, const auto* b) { return std::tie(a->opened_ms, a->job) < std::tie(b->opened_ms, b->job); });
    return out;
}

/// When jobs of one kind were opened on one aircraft. Asked once for each closed job, so it must not look at all of them each time.
class Openings {
public:
    explicit Openings(const std::vector<const JobFacts*>& all)
    {
        for (const auto* j : all) at_[{j->tail, j->complaint_kind}].emplace_back(j->opened_ms, j->job); // in order of time already
    }
    /// Whether a later job says that what was closed here came again.
    bool after(const JobFacts& j, const Options& o) const
    {
        if (!j.closed || j.complaint_kind.empty()) return false;
        const auto of = at_.find({j.tail, j.complaint_kind});
        if (of == at_.end()) return false;
        auto at = std::lower_bound(of->second.begin(), of->second.end(), j.last_ms, [](const auto& opened, std::int64_t ms) { return opened.first < ms; });
        for (; at != of->second.end() && at->first - j.last_ms <= o.return_days * day_ms; ++at)
            if (at->second != j.job) return true;
        return false;
    }

private:
    std::map<std::pair<std::string, std::string>, std::vector<std::pair<std::int64_t, std::string>>> at_;
};

Share share(int of, int all, double confidence)
{
    Share s{of, all, {}};
    if (const auto interval = all ? stats::share_interval(of, all, confidence) : Result<stats::Interval>(fail("bad_count"))) s.interval = *interval;
    return s;
}

bool confident(const Options& o)
{
    return o.confidence > 0 && o.confidence < 1;
}

template <class T>
void add_once(std::vector<T>& to, const T& value)
{
    if (std::find(to.begin(), to.end(), value) == to.end()) to.push_back(value);
}

} // namespace

std::vector<UnitHistory> units_back(const std::vector<JobFacts>& jobs, const std::vector<Bench>& bench, const Options& o)
{
    const auto all = counted(jobs, o);
    const Openings openings(all);
    std::map<std::pair<std::string, std::string>, UnitHistory> units;
    for (const auto* j : all)
        for (const auto& r : j->removed) {
            if (r.serial.empty()) continue;
            UnitHistory& u = units[{r.number, r.serial}];
            u.number = r.number;
            u.serial = r.serial;
            ++u.removals;
            u.not_cured += !r.cured;
            u.returned += r.cured && openings.after(*j, o);
            add_once(u.tails, j->tail);
            add_once(u.jobs, j->job);
        }
    for (const auto& b : bench)
        if (const auto u = units.find({b.number, b.serial}); u != units.end()) ++u->second.benched, u->second.no_fault_found += !b.fault_found;
    std::vector<UnitHistory> out;
    for (auto& [name, u] : units) out.push_back(std::move(u));
    std::stable_sort(out.begin(), out.end(), [](const auto& a, const auto& b) { return a.removals > b.removals; });
    return out;
}

Result<Rates> rates(const std::vector<JobFacts>& jobs, const std::vector<Bench>& bench, const Options& o)
{
    if (!confident(o)) return fail("bad_confidence");
    const auto all = counted(jobs, o);
    const Openings openings(all);
    Rates r;
    r.jobs = static_cast<int>(all.size());
    int closed = 0, again = 0, removals = 0, not_cured = 0, findings = 0, not_proven = 0, nothing = 0;
    std::map<std::string, std::pair<int, std::int64_t>> aircraft; // jobs, first
    std::int64_t last = 0;
    for (const auto* j : all) {
        closed += j->closed;
        again += openings.after(*j, o);
        findings += !j->finding_kind.empty();
        not_proven += j->finding_kind == "not_proven";
        for (const auto& x : j->removed) ++removals, not_cured += !x.cured;
        auto& [n, first] = aircraft.try_emplace(j->tail, 0, j->opened_ms).first->second;
        ++n;
        last = std::max(last, j->last_ms);
    }
    for (const auto& b : bench) nothing += !b.fault_found;
    r.no_fault_found = share(nothing, static_cast<int>(bench.size()), o.confidence);
    r.fault_returned = share(again, closed, o.confidence);
    r.not_cured = share(not_cured, removals, o.confidence);
    r.not_proven = share(not_proven, findings, o.confidence);
    for (const auto& [tail, known] : aircraft) {
        Rates::PerAircraft a{tail, known.first, static_cast<double>(last - known.second) / static_cast<double>(day_ms), {}};
        if (a.days >= 1)
            if (const auto interval = stats::rate_interval(a.jobs, a.days / 30, o.confidence)) a.per_30_days = *interval;
        r.aircraft.push_back(std::move(a));
    }
    std::stable_sort(r.aircraft.begin(), r.aircraft.end(), [](const auto& a, const auto& b) { return a.jobs > b.jobs; });
    return r;
}

std::vector<WiringCause> wiring_causes(const std::vector<JobFacts>& jobs, bool by_aircraft, const Options& o)
{
    std::map<std::tuple<std::string, std::string, std::string>, int> counts;
    for (const auto* j : counted(jobs, o))
        if (j->finding_class == "wiring" || j->finding_class == "contact") ++counts[{j->place, j->cause, by_aircraft ? j->tail : std::string()}];
    std::vector<WiringCause> out;
    for (const auto& [key, n] : counts) out.push_back({std::get<0>(key), std::get<1>(key), std::get<2>(key), n});
    std::stable_sort(out.begin(), out.end(), [](const auto& a, const auto& b) { return a.jobs > b.jobs; });
    return out;
}

namespace {

/// Hyndman and Fan, type 7, of sorted values.
double quantile(const std::vector<double>& v, double q)
{
    const double at = q * static_cast<double>(v.size() - 1);
    const auto below = static_cast<std::size_t>(std::floor(at)), above = std::min(below + 1, v.size() - 1);
    return v[below] + (at - static_cast<double>(below)) * (v[above] - v[below]);
}

/// Order statistics k and n+1-k hold the median with 1 - 2 P(B(n, 1/2) < k) at the least (David and Nagaraja, Order Statistics, 7.1).
std::optional<stats::Interval> median_interval(const std::vector<double>& v, double confidence)
{
    const int n = static_cast<int>(v.size());
    int k = 0;
    while (k + 1 <= (n + 1) / 2 && 1 - 2 * stats::binomial_cdf(k, n, 0.5) >= confidence) ++k;
    if (k == 0) return {};
    return stats::Interval{v[static_cast<std::size_t>(k) - 1], v[static_cast<std::size_t>(n - k)]};
}

} // namespace

Result<TimeToIsolate> time_to_isolate(const std::vector<JobFacts>& jobs, const Options& o)
{
    if (!confident(o)) return fail("bad_confidence");
    std::vector<double> minutes;
    for (const auto* j : counted(jobs, o))
        if (j->isolate_ms) minutes.push_back(static_cast<double>(*j->isolate_ms) / 60'000);
    TimeToIsolate t;
    t.jobs = static_cast<int>(minutes.size());
    if (minutes.empty()) return t;
    std::sort(minutes.begin(), minutes.end());
    t.median_min = quantile(minutes, 0.5);
    t.lower_quartile_min = quantile(minutes, 0.25);
    t.upper_quartile_min = quantile(minutes, 0.75);
    t.median_interval = median_interval(minutes, o.confidence);
    return t;
}

} // namespace chockside::fleet
