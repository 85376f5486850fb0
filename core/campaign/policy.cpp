#include <core/campaign/technician.h>

#include <algorithm>

namespace chockside::campaign {

namespace {

using isolate::AdviceKind;
using isolate::Check;

struct Work {
    const Aid& aid;
    Policy policy;
    const isolate::Costs& costs;
    Mind mind;
    Technician person;

    const Check* check(const std::string& id) const
    {
        const auto& all = mind.model().checks;
        const auto at = std::find_if(all.begin(), all.end(), [&](const Check& c) { return c.id == id; });
        return at == all.end() ? nullptr : &*at;
    }
    /// The proof and the flight belong to after the repair.
    bool open(const Check& c) const { return isolate::possible(c, person.situation()) && c.id != "proof_watch" && c.id != "flight"; }
    bool over() const { return person.minutes() >= shift_min || person.checks() >= most_checks; }
    Status look(const Check& c) { return mind.add(person.look(c)); }

    const Check* printed() const
    {
        for (const Check& c : mind.model().checks)
            if (open(c)) return &c;
        return nullptr;
    }
    const Check* cheapest() const
    {
        const Check* least = nullptr;
        for (const Check& c : mind.model().checks)
            if (open(c) && (!least || person.price(c) < person.price(*least))) least = &c;
        return least;
    }
    const Check* most_told() const
    {
        const Check* best = nullptr;
        double rate = 0;
        for (const Check& c : mind.model().checks)
            if (open(c))
                if (const double r = mind.bits(c, person.presence()) / std::max(person.price(c), 0.5); r > rate) rate = r, best = &c;
        return best;
    }
    const Check* worthiest() const
    {
        for (const auto& n : mind.next(person.situation(), costs, person.presence()).checks)
            if (const Check* c = check(n.check); c && open(*c) && n.worth > 0) return c;
        return nullptr;
    }
    const Check* choose() const
    {
        switch (policy) {
        case Policy::cheapest_first: return cheapest();
        case Policy::greedy: return most_told();
        case Policy::engine: return worthiest();
        default: return printed();
        }
    }
};

Status begin(Work& w)
{
    for (const Check& c : w.mind.model().checks)
        if (w.aid.first.contains(c.id) && w.open(c))
            if (const Status done = w.look(c); !done) return done;
    return {};
}

void name(Ending& e, const isolate::RemedyLikelihood& r)
{
    e.cause_class = r.cause_class;
    e.cause = r.cause;
    e.p = r.p;
}

void act(Ending& e)
{
    e.act = e.cause_class == "unit" ? Act::pull_unit : e.cause_class == "sensor" ? Act::pull_sensor : e.cause_class == "none" || e.cause_class == "unlisted" ? Act::watch
                                                                                                                                                         : Act::repair;
}

/// The way without gates.
Result<Ending> plainly(Work& w)
{
    Ending e;
    if (w.policy == Policy::swap_first)
        if (const Check* c = w.check("swap_units")) {
            const auto seen = w.person.look(*c);
            if (const Status done = w.mind.add(seen); !done) return Unexpected{done.error()};
            if (seen.outcome != "stays") {
                name(e, w.mind.likeliest());
                e.cause_class = "unit";
                e.act = Act::pull_unit;
                e.isolated = true;
                return e;
            }
        }
    for (;;) {
        const auto r = w.mind.likeliest();
        name(e, r);
        e.isolated = r.p >= w.aid.threshold;
        if (e.isolated || w.over()) break;
        const Check* c = w.choose();
        if (!c) break;
        if (const Status done = w.look(*c); !done) return Unexpected{done.error()};
    }
    act(e);
    return e;
}

/// A check that a gate still misses and that can be done: the cheapest.
const Check* for_gate(const Work& w, const isolate::Advice& a)
{
    const Check* least = nullptr;
    for (const auto& gate : a.gates)
        if (!gate.met)
            for (const std::string& id : gate.missing)
                if (const Check* c = w.check(id); c && w.open(*c) && (!least || w.person.price(*c) < w.person.price(*least))) least = c;
    return least;
}

isolate::Advice advice(const Work& w, Ending& e, bool ends = false)
{
    const auto a = isolate::advise(w.mind.model(), w.mind.posterior(), w.mind.evidence(), w.aid.gates, w.aid.threshold, ends);
    e.fits_nothing = a.kind == AdviceKind::fits_nothing;
    return a;
}

Result<Ending> advised(Work& w, bool misleading)
{
    Ending e;
    for (;;) {
        const auto r = w.mind.likeliest();
        name(e, r);
        const Check* next = nullptr;
        if (r.p >= w.aid.threshold) {
            const auto a = advice(w, e);
            const bool none = r.cause_class == "none";
            if (a.kind == AdviceKind::isolated) {
                e.isolated = true;
                act(e);
                return e;
            }
            if (a.kind == AdviceKind::none_found && !misleading) break;
            if (a.kind == AdviceKind::fits_nothing) break;
            if (!w.over()) next = for_gate(w, a);
            if (none && !next) break;
        }
        if (w.over()) break;
        if (!next) next = w.choose();
        if (!next) break;
        if (const Status done = w.look(*next); !done) return Unexpected{done.error()};
    }
    if (!e.fits_nothing) advice(w, e, true);
    e.act = misleading ? Act::defer : Act::watch;
    return e;
}

bool has(const std::vector<std::string>& all, const std::string& one) { return std::find(all.begin(), all.end(), one) != all.end(); }

void judge(Ending& e, const Job& job)
{
    e.class_right = has(job.classes, e.cause_class);
    const bool whole = e.cause_class == "unit" || e.cause_class == "sensor" || e.cause_class == "none" || e.cause_class == "unlisted";
    e.remedy_right = whole ? e.class_right : has(job.causes, e.cause);
    e.wrong_removal = (e.act == Act::pull_unit && !has(job.classes, "unit")) || (e.act == Act::pull_sensor && !has(job.classes, "sensor"));
    e.missed_misleading = job.misleading && job.real && e.act == Act::watch;
}

} // namespace

const char* name_of(Policy p)
{
    constexpr const char* names[] = {"printed_order", "cheapest_first", "swap_first", "greedy", "engine", ""};
    return names[static_cast<std::size_t>(p)];
}

Result<Ending> work(const Job& job, const Aid& aid, Policy policy, const Person& person, std::uint64_t seed)
{
    const auto model = aid.models.find(job.complaint);
    if (model == aid.models.end()) return fail("unknown_complaint", job.complaint, {{"complaint", job.complaint}});
    auto mind = Mind::make(model->second);
    if (!mind) return Unexpected{mind.error()};
    Work w{aid, policy, aid.costs.at(job.complaint), std::move(*mind), Technician(job, person, seed)};
    if (const Status done = begin(w); !done) return Unexpected{done.error()};
    auto e = policy == Policy::engine ? advised(w, job.misleading) : plainly(w);
    if (!e) return e;
    e->minutes = w.person.minutes();
    e->checks = w.person.checks();
    e->likely = w.mind.remedies();
    e->likely.resize(std::min<std::size_t>(e->likely.size(), 5));
    e->evidence = w.mind.evidence();
    judge(*e, job);
    return e;
}

} // namespace chockside::campaign
