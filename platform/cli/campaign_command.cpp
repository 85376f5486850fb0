#include <platform/cli/campaign_command.h>

#include <core/base/json.h>
#include <core/campaign/figures.h>
#include <core/campaign/review.h>
#include <platform/cli/command.h>

#include <CLI/CLI.hpp>

#include <algorithm>
#include <cstdio>
#include <iostream>

namespace chockside::cli {

namespace {

using namespace campaign;
using json::Value;

struct Options {
    std::string profile;
    int jobs = 500;
    std::uint64_t seed = 1;
    double wrong = 0.02;
    bool engine_only = false, each = false;
    double rows = 0;
    bool records = false;
};

Value share_json(const Share& s)
{
    const auto at = interval(s);
    return json::Object{{"of", s.of}, {"all", s.all}, {"share", s.value()}, {"low", at.lower}, {"high", at.upper}};
}

Value kind_json(const OfKind& k)
{
    return json::Object{{"jobs", k.class_right.all}, {"class_right", share_json(k.class_right)}, {"remedy_right", share_json(k.remedy_right)},
        {"wrong_removals", share_json(k.wrong_removals)}, {"missed_misleading", share_json(k.missed_misleading)}, {"fits_nothing", share_json(k.fits_nothing)},
        {"watch_or_defer", share_json(k.watched)}, {"minutes_median", k.minutes_median()}};
}

Value calibration_json(const OfPolicy& p)
{
    json::Array bins;
    for (std::size_t k = 0; k < p.bins.size(); ++k)
        if (p.bins[k].all) bins.emplace_back(json::Object{{"told", p.told[k] / p.bins[k].all}, {"right", p.bins[k].value()}, {"jobs", p.bins[k].all}});
    return json::Object{{"expected_error", p.calibration_error()}, {"bins", bins}};
}

Value kinds_json(const OfPolicy& p)
{
    json::Object kinds;
    for (std::size_t k = 0; k < p.kinds.size(); ++k) kinds[name_of(static_cast<Kind>(k))] = kind_json(p.kinds[k]);
    kinds["showing"] = kind_json(p.showing);
    return kinds;
}

Value all_json(const Figures& f, const Aid& aid, const Options& o)
{
    const OfPolicy& engine = f.of.at(Policy::engine);
    json::Object baselines, causes;
    for (const auto& [policy, of] : f.of)
        if (policy != Policy::engine) baselines[name_of(policy)] = json::Object{{"all", kind_json(of.all)}, {"kinds", kinds_json(of)}, {"calibration", calibration_json(of)}};
    for (const auto& [cause, of] : engine.causes) causes[cause] = kind_json(of);
    json::Array unknown;
    for (const std::string& check : aid.unknown) unknown.emplace_back(check);
    return json::Object{{"jobs", o.jobs}, {"seed", o.seed}, {"wrong_answers", o.wrong}, {"class_right", engine.showing.class_right.value()},
        {"wrong_removals", engine.all.wrong_removals.value()}, {"missed_misleading", engine.all.missed_misleading.of},
        {"minutes_median", engine.showing.minutes_median()}, {"all", kind_json(engine.all)}, {"kinds", kinds_json(engine)}, {"causes", causes},
        {"calibration", calibration_json(engine)}, {"baselines", baselines}, {"without_model", f.without_model}, {"checks_without_look", unknown}};
}

void print(const Figures& f)
{
    std::printf("%-15s %-13s %6s %7s %8s %8s %7s %8s\n", "policy", "kind", "jobs", "class", "removal", "mislead", "nothing", "minutes");
    const auto line = [](const char* policy, const char* kind, const OfKind& k) {
        std::printf("%-15s %-13s %6d %6.1f%% %7.1f%% %8d %6.1f%% %8.0f\n", policy, kind, k.class_right.all, 100 * k.class_right.value(),
            100 * k.wrong_removals.value(), k.missed_misleading.of, 100 * k.fits_nothing.value(), k.minutes_median());
    };
    for (const auto& [policy, of] : f.of) {
        line(name_of(policy), "all", of.all);
        line(name_of(policy), "showing", of.showing);
        for (std::size_t k = 0; k < of.kinds.size(); ++k) line(name_of(policy), name_of(static_cast<Kind>(k)), of.kinds[k]);
        std::printf("%-15s calibration error %.3f\n", name_of(policy), of.calibration_error());
    }
}

const char* name_of(isolate::Presence p)
{
    constexpr const char* names[] = {"unknown", "showing", "absent"};
    return names[static_cast<std::size_t>(p)];
}

json::Array all_of(const std::vector<std::string>& words) { return {words.begin(), words.end()}; }

Value evidence_json(const isolate::Evidence& e)
{
    json::Object o{{"check", e.check}, {"presence", name_of(e.presence)}};
    if (e.number) o["number"] = *e.number;
    else o["outcome"] = e.outcome;
    return o;
}

/// One line a job, to see why a job ended as it did.
void print_each(const Job& job, Policy policy, const Ending& e)
{
    constexpr const char* acts[] = {"pull_unit", "pull_sensor", "repair", "watch", "defer"};
    json::Array evidence, likely;
    for (const auto& r : e.likely) likely.emplace_back(json::Object{{"cause", r.cause}, {"p", r.p}});
    for (const auto& seen : e.evidence) evidence.push_back(evidence_json(seen));
    const json::Object line{{"policy", name_of(policy)}, {"kind", name_of(job.kind)}, {"complaint", job.complaint}, {"causes", all_of(job.causes)}, {"act", acts[static_cast<int>(e.act)]},
        {"cause_class", e.cause_class}, {"cause", e.cause}, {"p", e.p}, {"isolated", e.isolated}, {"fits_nothing", e.fits_nothing}, {"class_right", e.class_right}, {"remedy_right", e.remedy_right},
        {"wrong_removal", e.wrong_removal}, {"missed_misleading", e.missed_misleading}, {"minutes", e.minutes}, {"likely", likely}, {"evidence", evidence}};
    std::cout << json::write(line) << "\n";
}

/// The bounds of a campaign; at ten per cent wrong answers the removals may be three in a hundred.
bool held(const Figures& f, double wrong)
{
    const OfPolicy& e = f.of.at(Policy::engine);
    const double removals = wrong >= 0.1 ? 0.03 : 0.01;
    const auto printed = f.of.find(Policy::printed_order);
    const bool quick = printed == f.of.end() || e.showing.minutes_median() <= printed->second.showing.minutes_median() / 2;
    return e.showing.class_right.value() >= 0.95 && e.all.wrong_removals.value() <= removals && e.all.missed_misleading.of == 0 && quick
        && e.calibration_error() <= 0.03 && e.kinds[static_cast<std::size_t>(Kind::unlisted)].fits_nothing.value() >= 0.8;
}

void print_rows(const Aid& aid, const Options& o)
{
    for (const Doubt& d : review(aid, records(aid, o.jobs, o.seed), o.rows)) {
        std::printf("%5.2f %-20s %-22s %-7s %4d", d.nats, d.check.c_str(), d.cause.c_str(), name_of(d.presence), d.looks);
        for (std::size_t k = 0; k < d.seen.size(); ++k) std::printf("  %.2f/%.2f", d.seen[k], d.told[k]);
        std::printf("\n");
    }
}

/// One line a check, cause and presence; numbers whole.
void print_records(const Aid& aid, const Options& o)
{
    for (const auto& [key, t] : campaign::records(aid, o.jobs, o.seed)) {
        const auto& [check, cause, presence] = key;
        json::Object line{{"check", check}, {"cause", cause}, {"presence", name_of(presence)}, {"looks", t.looks}};
        if (t.numbers.empty()) line["outcomes"] = json::Array(t.outcomes.begin(), t.outcomes.end());
        else line["numbers"] = json::Array(t.numbers.begin(), t.numbers.end());
        std::cout << json::write(line) << "\n";
    }
}

int campaign_now(const Options& o, const Run& run)
{
    const auto profile = usable_profile(o.profile);
    if (!profile) return say(profile.error(), run);
    if (o.jobs < 1) return say({"usage", {}, {{"what", "--jobs must be 1 or more"}}}, run, 2);
    const Aid aid = aid_of(**profile);
    if (o.rows > 0) {
        print_rows(aid, o);
        return 0;
    }
    if (o.records) {
        print_records(aid, o);
        return 0;
    }
    campaign::Plan plan{o.jobs, o.seed, o.wrong};
    if (o.engine_only) plan.policies = {Policy::engine};
    const auto figures = campaign::run(plan, aid, o.each ? Told(print_each) : Told());
    if (!figures) return say(figures.error(), run);
    if (figures->of.empty()) return say({"unknown_complaint", o.profile, {}}, run);
    if (run.json) std::cout << json::write(all_json(*figures, aid, o)) << "\n";
    else print(*figures);
    return held(*figures, o.wrong) ? 0 : 1;
}

} // namespace

void add_campaign_command(CLI::App& app, Run& run)
{
    const auto options = std::make_shared<Options>();
    CLI::App* c = app.add_subcommand("campaign", "Seeded practice jobs: how often the reasoning is right, and at what price");
    add_json(*c, run);
    c->add_option("--profile", options->profile, "The profile")->required();
    c->add_option("--jobs", options->jobs, "How many jobs");
    c->add_option("--seed", options->seed, "Seed of all chance");
    c->add_option("--wrong", options->wrong, "Share of wrong answers")->check(CLI::Range(0.0, 1.0));
    c->add_flag("--engine-only", options->engine_only, "Without the fixed policies");
    c->add_flag("--each", options->each, "One JSON line a job before the figures: what was at fault, what was seen, how it ended");
    c->add_option("--rows", options->rows, "Instead: rows of the profile that tell another story than the practice aircraft, by at least so many nats (seen/told, --jobs jobs a cause)");
    c->add_flag("--records", options->records, "Instead: what looks at every cause showed, one JSON line a check, cause and presence (--jobs jobs a cause)");
    c->callback([options, &run] { run.code = campaign_now(*options, run); });
}

} // namespace chockside::cli
