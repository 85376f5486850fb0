#include <core/campaign/review.h>

#include <core/campaign/technician.h>

#include <algorithm>
#include <cmath>

namespace chockside::campaign {

namespace {

using isolate::Presence;

/// Each check on an aircraft of its own: what an earlier one has opened or dried is no matter of the row.
void look_at_all(Records& all, const Job& job, const isolate::Model& model, std::uint64_t seed)
{
    for (const isolate::Check& check : model.checks) {
        Technician person(job, {0, 3}, seed++);
        const isolate::Evidence e = person.look(check);
        Tally& t = all[{check.id, job.causes.front(), e.presence}];
        t.outcomes.resize(check.outcomes.size());
        ++t.looks;
        if (e.number) t.numbers.push_back(*e.number);
        else if (const auto at = std::find(check.outcomes.begin(), check.outcomes.end(), e.outcome); at != check.outcomes.end())
            t.outcomes[static_cast<std::size_t>(at - check.outcomes.begin())] += 1;
    }
}

void judge_numbers(Doubt& d, const Tally& t, const isolate::Density& row)
{
    double sum = 0, square = 0;
    for (const double x : t.numbers) {
        const double z = std::clamp(isolate::score(row, x), -20.0, 20.0);
        sum += z, square += z * z;
    }
    const double n = static_cast<double>(t.numbers.size()), mean = sum / n, deviation = std::sqrt(std::max(square / n - mean * mean, 1e-4));
    d.seen = {mean, deviation};
    d.told = {0, 1};
    d.nats = (mean * mean + deviation * deviation - 1) / 2 - std::log(deviation);
    if (deviation < 1) d.nats = mean * mean / 2; // narrower than told costs little and is no blunder
}

void judge_outcomes(Doubt& d, const Tally& t, const std::vector<double>& row, double slip)
{
    double sum = 0;
    for (const double r : row) sum += r;
    for (std::size_t o = 0; o < row.size(); ++o) {
        const double told = (1 - slip) * row[o] / sum + slip / static_cast<double>(row.size()), seen = t.outcomes[o] / t.looks;
        d.seen.push_back(seen);
        d.told.push_back(told);
        if (seen > 0) d.nats += seen * std::log(seen / told);
    }
}

} // namespace

Records records(const Aid& aid, int jobs, std::uint64_t seed)
{
    const isolate::Model& model = aid.models.begin()->second; // rows are the same for every complaint
    Records all;
    SeededRandom seeds(seed);
    for (const isolate::Cause& cause : model.causes) {
        const Fault* fault = find_fault(cause.id);
        for (int n = 0; fault && n < jobs; ++n) {
            SeededRandom r(seeds.next());
            const Kind kind = draw_kind(*fault, r);
            look_at_all(all, make_job(kind, r, cause.id), model, seeds.next());
        }
    }
    return all;
}

std::vector<Doubt> review(const Aid& aid, const Records& all, double least)
{
    const isolate::Model& model = aid.models.begin()->second;
    std::vector<Doubt> doubts;
    for (const auto& [key, tally] : all) {
        const auto& [check_id, cause_id, presence] = key;
        const auto check = std::find_if(model.checks.begin(), model.checks.end(), [&](const auto& c) { return c.id == check_id; });
        const auto cause = std::find_if(model.causes.begin(), model.causes.end(), [&](const auto& c) { return c.id == cause_id; }) - model.causes.begin();
        const auto& rows = presence == Presence::absent && !check->absent.empty() ? check->absent : check->given;
        const isolate::Row& row = rows[static_cast<std::size_t>(cause)];
        Doubt d{check_id, cause_id, presence, tally.looks, {}, {}, 0};
        if (!tally.numbers.empty() && row.number) judge_numbers(d, tally, *row.number);
        else if (!row.outcomes.empty()) judge_outcomes(d, tally, row.outcomes, model.slip);
        if (tally.looks >= 10 && d.nats >= least) doubts.push_back(std::move(d));
    }
    std::stable_sort(doubts.begin(), doubts.end(), [](const Doubt& a, const Doubt& b) { return a.nats > b.nats; });
    return doubts;
}

} // namespace chockside::campaign
