#include <core/job/detail/describe.h>
#include <core/job/detail/stage_views.h>
#include <core/job/number.h>
#include <core/job/open_items.h>
#include <core/job/standing.h>

#include <algorithm>
#include <cmath>

namespace chockside::job::detail {

namespace {

std::string worst(const Register& r)
{
    for (const char* state : {"tripped", "collared", "pulled"})
        if (r.perhaps(state)) return state;
    return r.agreed().value_or("unknown");
}

std::string age_words(std::int64_t seconds)
{
    return seconds < 120 ? std::to_string(seconds) + "\u00A0s" : std::to_string(seconds / 60) + "\u00A0min";
}

std::string answer_words(const profile::Profile& p, const profile::Check& check, const Answer& a)
{
    return a.number.empty() ? outcome_words(p, check.id, a.outcome) : a.number + "\u00A0" + check.unit;
}

/// What was answered before the repair: by its entry where that is given, else the latest. The same check repeated afterwards is a test of the
/// repair and no evidence.
const Answer* found_by(const JobState& s, const std::string& check, const std::string& hash = {})
{
    const Answer* latest = nullptr;
    for (const Answer& a : s.answers) {
        if (a.check != check || a.after_repair) continue;
        if (!hash.empty() && a.stamp.hash == hash) return &a;
        latest = &a;
    }
    return latest;
}

EvidenceLine evidence_line(const Scene& x, const isolate::Contribution& c)
{
    const auto* check = profile::find(x.p.installation.checks, c.check);
    const Answer* a = found_by(x.s, c.check, c.evidence);
    EvidenceLine line;
    line.text = check ? check->title.in() : c.check;
    if (check && a) line.text += ": " + answer_words(x.p, *check, *a);
    line.factor = std::exp(c.log_odds);
    return line;
}

std::string percent(double p) { return std::to_string(static_cast<int>(std::lround(100 * p))) + "\u00A0%"; }

void why(const Scene& x, IsolateView& v)
{
    for (const auto& u : x.r.unexplained) {
        const auto* check = profile::find(x.p.installation.checks, u.check);
        const Answer* a = found_by(x.s, u.check, u.evidence);
        if (check && a) v.unexplained.push_back({check->title.in() + ": " + answer_words(x.p, *check, *a), cause_words(x.p, u.cause)});
    }
    for (const auto& t : x.r.why.turns)
        if (const auto* check = profile::find(x.p.installation.checks, t.check))
            v.would_change.push_back(check->title.in() + ", " + outcome_words(x.p, t.check, t.outcome) + ": then " + cause_words(x.p, t.cause) + ", " + percent(t.p));
    if (!x.r.why.rivals) return;
    const auto& r = *x.r.why.rivals;
    const auto* check = profile::find(x.p.installation.checks, r.check);
    v.would_change.push_back("Hardest to tell apart: " + cause_words(x.p, r.first) + " and " + cause_words(x.p, r.second) + (check ? ". Parted best by: " + check->title.in() : ""));
}

std::string advice_word(isolate::AdviceKind kind)
{
    switch (kind) {
    case isolate::AdviceKind::isolated: return "isolated";
    case isolate::AdviceKind::none_found: return "none_found";
    case isolate::AdviceKind::fits_nothing: return "fits_nothing";
    case isolate::AdviceKind::not_proven: return "not_proven";
    default: return "gather";
    }
}

void places(const Scene& x, IsolateView& v)
{
    double top = 0;
    for (const auto& place : x.p.installation.places) {
        PlaceView pv{place.id, place.label, place.where, place.kind, 0, Mark::none};
        for (const auto& lp : x.r.posterior.places)
            if (lp.place == place.id) pv.p = lp.p;
        top = std::max(top, pv.p);
        v.places.push_back(pv);
    }
    for (auto& pv : v.places)
        if (pv.p > 0.2 && pv.p == top) pv.mark = Mark::attention;
}

/// What the advice leads with: its remedy sums over causes, so that screen, paper and finding name one cause and one likelihood.
void lead(const Scene& x, IsolateView& v)
{
    const isolate::Advice& advice = x.r.advice;
    if (advice.cause.empty()) return;
    v.leading = cause_words(x.p, advice.cause);
    if (!advice.also.empty()) v.leading += " and " + cause_words(x.p, advice.also);
    v.leading_class = advice.cause_class;
    v.leading_p = advice.p;
    for (const auto& c : x.r.posterior.contributions)
        if (c.cause == advice.cause && std::abs(c.log_odds) > 0.05) v.evidence.push_back(evidence_line(x, c));
}

void gates(const Scene& x, IsolateView& v)
{
    for (const auto& g : x.r.advice.gates) {
        const auto* gate = profile::find(x.p.installation.gates, g.id);
        std::string word = g.met ? "seen" : "not yet";
        v.gates.push_back({g.id, gate ? gate->says.in() : g.id, word, g.met});
    }
}

void next(const Scene& x, IsolateView& v)
{
    for (const auto& n : x.r.next) {
        const auto* check = profile::find(x.p.installation.checks, n.check);
        if (!check || standing(x.p, x.s, n.check)) continue;
        const auto* then = profile::find(x.p.installation.checks, n.then);
        v.next.push_back({n.check, check->title.in(), n.why, n.minutes, n.own_minutes, n.access_minutes, n.power_minutes, n.warm_minutes, n.worth, then ? then->title.in() : ""});
    }
}

} // namespace

void fill_make_ready(const Scene& x, JobView& v)
{
    const Waits w = waits(x.p, x.s, x.c);
    v.waits = {w.self_test, w.alignment, w.warm_up};
    for (const auto& b : x.p.installation.breakers) {
        BreakerView bv{b.id, b.label, b.panel, b.bus, b.normal, {}, 0, b.also_feeds.in(), false};
        if (const auto reg = x.s.breakers.find(b.id); reg != x.s.breakers.end() && !reg->second.empty()) {
            bv.state = worst(reg->second);
            bv.contested = reg->second.contested();
            bv.since_utc_ms = reg->second.last()->wall;
            if (bv.state == "collared") bv.tag = std::to_string(100 + reg->second.last()->seq % 900);
        }
        v.breakers.push_back(bv);
    }
}

void fill_as_found(const Scene& x, JobView& v)
{
    for (const auto& step : x.p.installation.steps) {
        if (step.stage != "as_found") continue;
        const bool done = x.s.done.contains(step.id);
        v.saved.push_back({step.say.in(), done ? "saved" : "not yet", done ? Mark::good : Mark::none, "step:" + step.id});
    }
    for (const auto& f : x.s.faults) {
        std::string says = f.id;
        for (const auto& [code, said] : x.p.unit.faults.table)
            if (said.id == f.id) says = said.says.in();
        v.stored_faults.push_back({f.code, says, static_cast<int>(f.count), f.age_s > 0 ? age_words(f.age_s) : "", f.active});
    }
    for (const auto& check : x.p.installation.checks) {
        if (check.stage != "as_found") continue;
        const Answer* a = found_by(x.s, check.id);
        SourceLine line;
        line.what = check.title.in();
        line.word = a ? answer_words(x.p, check, *a) : "not yet";
        line.mark = !a ? Mark::none : is_good(check, *a) ? Mark::good : Mark::fail;
        v.sources.push_back(line);
    }
}

void fill_isolate(const Scene& x, JobView& v)
{
    IsolateView& iv = v.isolate;
    places(x, iv);
    if (!x.r.known) return;
    iv.advice = advice_word(x.r.advice.kind);
    iv.fits_nothing = x.r.posterior.fits_nothing;
    iv.removal_offered = x.r.advice.removal_offered;
    for (const auto& c : x.r.posterior.classes) iv.classes.emplace_back(c.cause_class, c.p);
    lead(x, iv);
    std::stable_sort(iv.evidence.begin(), iv.evidence.end(), [](const auto& a, const auto& b) { return std::abs(std::log(a.factor)) > std::abs(std::log(b.factor)); });
    next(x, iv);
    gates(x, iv);
    why(x, iv);
}

void fill_put_right(const Scene& x, JobView& v)
{
    if (x.s.found) v.finding = x.s.finding_kind == "not_proven" ? "Not proven" : cause_words(x.p, x.s.finding_cause);
    const auto off_paper = [](const Part& part) { return PartPaper{"Off", part.number, part.serial, part.tag, "", part.reason, true}; };
    const auto on_paper = [](const Part& part) { return PartPaper{"On", part.number, part.serial, "", part.certificate, "", true}; };
    if (x.s.off) v.part_off = off_paper(*x.s.off);
    if (x.s.on) v.part_on = on_paper(*x.s.on);
    for (const auto& past : x.s.past) {
        if (past.off) v.parts_before.push_back(off_paper(*past.off));
        if (past.on) v.parts_before.push_back(on_paper(*past.on));
    }
    std::set<std::string> raised;
    for (const auto& o : x.s.owed) raised.insert(o.id);
    const auto* cause = profile::find(x.p.installation.causes, x.s.finding_cause);
    const auto* repair = cause ? profile::find(x.p.installation.repairs, cause->repair) : nullptr;
    for (const auto& row : x.p.installation.owed)
        if (repair && row.act == repair->act && !x.s.repaired) v.owed.push_back({row.id, row.says.in(), row.rule, row.who, "will be owed", Mark::none, 0});
    const bool swing = std::any_of(v.owed.begin(), v.owed.end(), [&](const auto& o) { return o.id.find("swing") != std::string::npos; });
    if (repair && !swing && !x.s.repaired) v.not_owed.push_back("No swing: nothing magnetic was touched.");
}

void fill_prove(const Scene& x, JobView& v)
{
    for (const auto& o : x.s.owed) {
        if (const auto* b = tripped_breaker(x.p, o))
            v.owed.push_back({o.id, "Why " + b->label + " tripped", "common practice", "certified technician", o.closed ? o.result : "owed", o.closed ? Mark::good : Mark::none, 0});
        const auto row = std::find_if(x.p.installation.owed.begin(), x.p.installation.owed.end(), [&](const auto& r) { return r.id == o.id; });
        if (row == x.p.installation.owed.end()) continue;
        const auto* check = owed_check(x.p, o);
        const Answer* a = check && !o.closed ? owed_answer(x.s, o, *check) : nullptr;
        const bool failed = a && !is_good(*check, *a);
        v.owed.push_back({row->id, row->says.in(), row->rule, row->who, o.closed ? o.result : failed ? "not good: " + answer_words(x.p, *check, *a) : "owed",
            o.closed ? Mark::good : failed ? Mark::fail : Mark::none, 0});
        if (row->prove == "swing") {
            v.swing.owed = true;
            v.swing.done = o.closed.has_value() || !x.s.swing_result.empty();
        }
    }
    SwingView& sw = v.swing;
    if (x.p.installation.swing) {
        sw.wanted = x.p.installation.swing->headings;
        sw.tolerance_deg = x.p.installation.swing->tolerance_deg;
    }
    for (const auto& pt : x.s.swing) {
        const double reference = number_of(pt.reference).value_or(0), indicated = number_of(pt.indicated).value_or(0);
        sw.points.push_back({reference, indicated, std::remainder(reference - indicated, 360.0), false});
    }
    if (!sw.owed || sw.done) return;
    if (static_cast<int>(sw.points.size()) < sw.wanted) {
        sw.next_heading_deg = 360.0 * static_cast<double>(sw.points.size()) / sw.wanted;
        if (!sw.points.empty()) sw.sentence = "Point " + std::to_string(sw.points.size() + 1) + " of " + std::to_string(sw.wanted) + ". Turn, chock, let it settle.";
    }
}

void fill_close(const Scene& x, JobView& v)
{
    for (const std::string& meaning : signs_needed(x.p, x.s)) {
        const auto sign = x.s.signs.find(meaning);
        ActLine act{meaning, meaning == "worked" ? "Worked" : meaning == "inspected" ? "Inspected" : "Released", "", "", "not yet", Mark::none};
        if (sign != x.s.signs.end()) {
            act.person = sign->second.person;
            act.certificate = sign->second.certificate_kind + " " + sign->second.certificate_number;
            act.word = to_hms(sign->second.stamp.wall) + "\u00A0Z";
            act.mark = Mark::good;
        }
        v.acts.push_back(act);
    }
    v.entry_text = entry_text(x.p, x.s);
}

} // namespace chockside::job::detail
