#include <core/campaign/faults.h>

#include <algorithm>
#include <cmath>

namespace chockside::campaign {

namespace {

constexpr double kind_shares[] = {0.20, 0.15, 0.25, 0.20, 0.10, 0.10}; // in the order of Kind; written down before any run

bool belongs(const Fault& f, Kind kind)
{
    switch (kind) {
    case Kind::hard: return f.mode == 'h';
    case Kind::intermittent: return f.mode != 'h' && f.id != "none" && f.id != "normal_behaviour";
    case Kind::absent: return f.mode != 'h';
    case Kind::after_work: return !f.work.empty();
    default: return f.id != "none" && f.id != "normal_behaviour";
    }
}

const Fault& draw(Kind kind, SeededRandom& r)
{
    double sum = 0;
    for (const Fault& f : faults())
        if (belongs(f, kind)) sum += f.share;
    double at = r.uniform() * sum;
    for (const Fault& f : faults()) {
        if (!belongs(f, kind)) continue;
        at -= f.share;
        if (at <= 0) return f;
    }
    return faults().front();
}

void put(Job& job, const Fault& f, SeededRandom& r)
{
    f.set(job.then, r);
    job.causes.push_back(f.id);
    job.classes.push_back(f.cause_class);
    if (f.id == "none" || f.id == "normal_behaviour") job.real = false;
}

/// Troubles outside the list: what they upset, and how it looks, is their own.
void put_unlisted(Job& job, SeededRandom& r)
{
    auto& l = job.then.logic;
    using U = Logic::Unlisted;
    l.unlisted = static_cast<U>(1 + r.below(6));
    l.unlisted_per_hour = 3 + 6 * r.uniform();
    if (l.unlisted == U::lightning_latch) job.then.around.rained = true;
    job.causes.push_back("unlisted");
    job.classes.push_back("unlisted");
}

/// Dry, mild and with another cart: the condition is gone at arrival. What comes and goes is good at the moment.
void go_away(Truth& t, SeededRandom& r)
{
    pass(t, r.uniform(240, 900));
    t.around.bay_c = r.uniform(12, 22);
    t.around.tip_c = r.uniform(10, 20);
    t.supply.source_ohm = std::min(t.supply.source_ohm, 0.06);
    t.supply.breaker_tripped = false;
    for (Line& l : t.lines) l.open_now = false, l.opens_per_hour *= 0.3;
    t.unit.rogue_per_hour *= 0.3;
    t.logic.selector_opens_per_hour *= 0.3;
}

/// Still wet, cold or parted, as it was left.
void stay(Truth& t, SeededRandom& r)
{
    pass(t, r.uniform(5, 40));
    for (Line& l : t.lines)
        if (l.opens_per_hour > 0.5 && r.uniform() < 0.5) l.open_now = true;
    if (t.logic.selector_opens_per_hour > 0.5 && r.uniform() < 0.5) t.logic.selector_open = true;
}

void change_history(Job& job, const Fault* f, SeededRandom& r)
{
    static const char* const others[] = {"unit_changed", "sensor_or_wing", "lines_opened", "electrical_added", "paint_or_panels"};
    if (job.kind == Kind::after_work && f) job.then.work = f->work;
    else if (r.uniform() < 0.12) job.then.work = others[r.below(5)];
    job.then.flown_h = 3 + 9 * r.uniform();
    if (job.then.work != "unit_changed" && r.uniform() < 0.2) job.then.unit_changes = 1;
}

} // namespace

const char* name_of(Kind kind)
{
    constexpr const char* names[] = {"hard", "intermittent", "absent", "after_work", "two_causes", "unlisted", ""};
    return names[static_cast<std::size_t>(kind)];
}

bool shows(const Truth& t, const Setting& s) { return losses(t, s).all() >= always || errors(t, s).shows(); }

Setting worst_setting(const Truth& t)
{
    Setting stand = on_stand(t), loaded = stand, start = stand, cold = stand, warm = stand;
    loaded.heater = loaded.lights = true;
    start.start = start.engine = true;
    cold.first_power_up = true;
    warm.minutes_on = 45;
    Setting worst = in_flight(t);
    const auto weight = [&](const Setting& s) { return losses(t, s).all() + (errors(t, s).shows() ? 100 : 0); };
    for (const Setting& s : {stand, loaded, start, cold, warm})
        if (weight(s) > weight(worst)) worst = s;
    return worst;
}

bool is_misleading(const std::string& complaint)
{
    return complaint == "heading_error" || complaint == "attitude_disagree" || complaint == "air_data_disagree";
}

std::string complaint_of(const Truth& t, SeededRandom& r)
{
    const Setting s = worst_setting(t);
    const Errors e = errors(t, s);
    const Losses l = losses(t, s);
    static const char* const flags[] = {"heading_flag", "attitude_flag", "air_data_flag"};
    static const char* const wrong[] = {"heading_error", "attitude_disagree", "air_data_disagree"};
    if (l.sensor > 0.2 && l.sensor >= l.all() / 2) return "heading_flag";
    if (l.power + l.inside + l.data + l.display > 0.2) return flags[r.below(3)];
    if (std::fabs(e.altitude_ft) > 100 || std::fabs(e.airspeed_kt) > 8 || std::fabs(e.temperature_c) > 5) return "air_data_disagree";
    if (std::fabs(e.attitude_deg) > 1) return "attitude_disagree";
    if (std::fabs(e.heading_deg) > 3 || t.logic.reference_deg > 1) return "heading_error";
    if (std::hypot(t.magnetics.place_x, t.magnetics.place_y) > 800) return "heading_error"; // seen lined up on the stand
    if (t.at(Place::w7).shield_open || t.at(Place::w8).shield_open) return "heading_flag";
    if (t.logic.aiding_open || t.logic.cross_bus_open) return "attitude_disagree";
    if (t.air.set_leak_fpm > 100) return "air_data_disagree";
    if (t.logic.comparator_tight || t.logic.standby_wrong) return wrong[r.below(3)];
    return flags[r.below(3)];
}

Kind draw_kind(SeededRandom& r)
{
    double at = r.uniform();
    for (std::size_t k = 0; k < static_cast<std::size_t>(Kind::count); ++k) {
        at -= kind_shares[k];
        if (at <= 0) return static_cast<Kind>(k);
    }
    return Kind::hard;
}

Kind draw_kind(const Fault& f, SeededRandom& r)
{
    constexpr Kind alone[] = {Kind::hard, Kind::intermittent, Kind::absent, Kind::after_work};
    double chance[std::size(alone)] = {}, sum = 0;
    for (std::size_t k = 0; k < std::size(alone); ++k) {
        double all = 0;
        for (const Fault& other : faults())
            if (belongs(other, alone[k])) all += other.share;
        sum += chance[k] = belongs(f, alone[k]) ? kind_shares[static_cast<std::size_t>(alone[k])] * f.share / all : 0;
    }
    double at = r.uniform() * sum;
    for (std::size_t k = 0; k < std::size(alone); ++k)
        if ((at -= chance[k]) <= 0 && chance[k] > 0) return alone[k];
    return Kind::absent;
}

Job make_job(Kind kind, SeededRandom& r, const std::string& id)
{
    Job job;
    job.kind = kind;
    const Fault* first = nullptr;
    if (kind == Kind::unlisted) put_unlisted(job, r);
    else {
        first = id.empty() ? &draw(kind, r) : find_fault(id);
        if (!first) first = find_fault("none");
        put(job, *first, r);
    }
    if (kind == Kind::two_causes) {
        const Fault* second = &draw(kind, r);
        while (second->id == first->id) second = &draw(kind, r);
        put(job, *second, r);
    }
    change_history(job, first, r);
    job.complaint = complaint_of(job.then, r);
    if (job.kind == Kind::after_work && job.then.work == "unit_changed") job.complaint = "after_change";
    job.misleading = is_misleading(job.complaint);
    job.now = job.then;
    if (kind == Kind::absent) go_away(job.now, r);
    else stay(job.now, r);
    job.showed_on_arrival = kind != Kind::absent && job.real;
    return job;
}

} // namespace chockside::campaign
