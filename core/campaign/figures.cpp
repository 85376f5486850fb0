#include <core/campaign/figures.h>

#include <core/stats/counts.h>

#include <algorithm>
#include <cmath>

namespace chockside::campaign {

namespace {

void count(OfKind& k, const Ending& e)
{
    k.class_right.count(e.class_right);
    k.remedy_right.count(e.remedy_right);
    k.wrong_removals.count(e.wrong_removal);
    k.missed_misleading.count(e.missed_misleading);
    k.fits_nothing.count(e.fits_nothing);
    k.watched.count(e.act == Act::watch || e.act == Act::defer);
    k.minutes.push_back(e.minutes);
}

void count(OfPolicy& p, const Job& job, const Ending& e)
{
    count(p.all, e);
    count(p.kinds[static_cast<std::size_t>(job.kind)], e);
    count(p.causes[job.causes.front()], e);
    if (job.showed_on_arrival && job.kind != Kind::unlisted) count(p.showing, e);
    const auto bin = static_cast<std::size_t>(std::clamp(e.p * 10, 0.0, 9.0));
    p.bins[bin].count(e.remedy_right);
    p.told[bin] += e.p;
}

} // namespace

stats::Interval interval(const Share& s)
{
    const auto exact = stats::share_interval(s.of, s.all, 0.95);
    return exact ? *exact : stats::Interval{0, 1};
}

double OfKind::minutes_median() const
{
    if (minutes.empty()) return 0;
    std::vector<double> m = minutes;
    std::nth_element(m.begin(), m.begin() + m.size() / 2, m.end());
    return m[m.size() / 2];
}

double OfPolicy::calibration_error() const
{
    double sum = 0, counted = 0;
    for (std::size_t k = 0; k < bins.size(); ++k) sum += std::fabs(bins[k].of - told[k]), counted += bins[k].all;
    return counted > 0 ? sum / counted : 0;
}

Result<Figures> run(const Plan& plan, const Aid& aid, const Told& told)
{
    Figures f;
    SeededRandom seeds(plan.seed);
    for (int n = 0; n < plan.jobs; ++n) {
        SeededRandom r(seeds.next());
        const std::uint64_t hands = seeds.next();
        const Job job = make_job(draw_kind(r), r);
        if (!aid.models.contains(job.complaint)) {
            ++f.without_model;
            continue;
        }
        for (const Policy policy : plan.policies) {
            const auto e = work(job, aid, policy, {plan.wrong, 3}, hands);
            if (!e) return Unexpected{e.error()};
            count(f.of[policy], job, *e);
            if (told) told(job, policy, *e);
        }
    }
    return f;
}

} // namespace chockside::campaign
