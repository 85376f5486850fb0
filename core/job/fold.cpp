#include <core/job/detail/describe.h>
#include <core/job/open_items.h>
#include <core/job/silent.h>
#include <core/job/state.h>

#include <algorithm>
#include <utility>
#include <functional>

namespace chockside::job {

namespace {

using json::Value;
using journal::Entry;

constexpr const char* closing_look = "close."; ///< steps of the last look before signing

struct Step {
    const profile::Profile& profile;
    JobState& s;
    const Entry& e;
    const Value& body;
    Stamp stamp;
    const journal::Vector& seen;
    std::string text(const char* key) const { return body[key].as_text(); }
};

void raise_owed(Step& x, const std::string& act)
{
    if (std::find(x.s.acts.begin(), x.s.acts.end(), act) == x.s.acts.end()) x.s.acts.push_back(act);
    for (const auto& row : x.profile.installation.owed) {
        if (row.act != act) continue;
        const auto same = [&](const OwedState& o) { return o.id == row.id && !o.closed; };
        if (std::none_of(x.s.owed.begin(), x.s.owed.end(), same)) x.s.owed.push_back({row.id, act, x.stamp, {}, {}, 0});
    }
    for (OwedState& o : x.s.owed)
        if (!o.closed) o.answers_before = static_cast<std::int64_t>(x.s.answers.size());
}

void opened(Step& x)
{
    JobState& s = x.s;
    s.tail = x.text("tail");
    s.aircraft_type = x.text("aircraft_type");
    s.complaint = x.text("complaint");
    s.complaint_kind = x.text("complaint_kind");
    s.profile_sha = x.text("profile_sha");
    s.practice = x.body["practice"].as_bool();
    s.scale_milli = x.body["scale_milli"].as_int(1000);
    s.departure = x.body["departure_utc_ms"].as_int();
    s.decide = x.body["decide_utc_ms"].as_int();
    if (const std::string power = x.text("power"); !power.empty()) s.power.set(power, x.stamp, x.seen);
}

void answered(Step& x)
{
    Answer a;
    a.check = x.text("check");
    a.outcome = x.text("outcome");
    a.number = x.text("number");
    a.presence = x.text("presence");
    a.disturbed = x.s.disturbed;
    a.after_repair = x.s.repaired.has_value();
    a.power_ups = x.s.power_ups;
    a.stamp = x.stamp;
    x.s.answers.push_back(a);
    if (const auto* check = profile::find(x.profile.installation.checks, a.check); check && check->disturbs >= 2)
        x.s.disturbed.insert(check->disturbs_at.begin(), check->disturbs_at.end());
}

/// A breaker that goes in, or power that comes, makes an earlier proof of "dead" worthless.
void forget_dead(Step& x, const std::string& breaker)
{
    for (const auto& plug : x.profile.installation.plugs)
        if (std::find(plug.fed_by.begin(), plug.fed_by.end(), breaker) != plug.fed_by.end()) x.s.dead.erase(plug.id);
}

/// The breakers that feed the unit: those of its channels, and every other one that feeds a plug together with one of them. A second supply
/// keeps a unit up though its channel's breaker is out.
std::vector<std::string> unit_feeds(const profile::Profile& p)
{
    std::set<std::string> channels;
    for (const auto& [channel, plug] : p.installation.test_plugs) channels.insert(plug.second.begin(), plug.second.end());
    for (const auto& b : p.installation.breakers)
        if (std::any_of(b.feeds.begin(), b.feeds.end(), [](const std::string& what) { return what.starts_with("channel:"); })) channels.insert(b.id);
    std::set<std::string> feeds = channels;
    for (const auto& plug : p.installation.plugs)
        if (std::any_of(plug.fed_by.begin(), plug.fed_by.end(), [&](const std::string& id) { return channels.contains(id); })) feeds.insert(plug.fed_by.begin(), plug.fed_by.end());
    return {feeds.begin(), feeds.end()};
}

void power_lost(Step& x)
{
    if (x.s.self_test_ended) ++x.s.warm_restarts;
    x.s.power_lost = x.stamp;
    x.s.self_test_started.reset();
    x.s.self_test_ended.reset();
    x.s.first_ended.reset();
    x.s.aligned.reset();
}

void power_taken(Step& x)
{
    power_lost(x);
    x.s.dark = true;
}

void power_given(Step& x)
{
    x.s.power_on = x.stamp;
    x.s.dark = false;
}

bool is_out(const Step& x, const std::string& breaker)
{
    const auto reg = x.s.breakers.find(breaker);
    return reg != x.s.breakers.end() && !reg->second.empty()
        && std::all_of(reg->second.writes.begin(), reg->second.writes.end(), [](const auto& w) { return w.value == "pulled" || w.value == "collared" || w.value == "tripped"; });
}

/// Every breaker by which power can reach the unit is out, as all writers say.
bool unit_dark(const Step& x, const std::vector<std::string>& feeds)
{
    return !feeds.empty() && std::all_of(feeds.begin(), feeds.end(), [&](const std::string& id) { return is_out(x, id); });
}

void breaker(Step& x, const std::string& id, const std::string& to)
{
    const auto feeds = unit_feeds(x.profile);
    const bool was_dark = unit_dark(x, feeds);
    x.s.breakers[id].set(to, x.stamp, x.seen);
    const bool dark = unit_dark(x, feeds);
    if (dark && !was_dark) power_taken(x);
    if (was_dark && !dark && !x.s.power.certainly("off")) power_given(x);
    x.s.changed["breaker:" + id] = x.stamp;
    x.s.losses = 0; // the unit's power went by hand
    if (to == "in") forget_dead(x, id);
}

/// On return it did not stand as it was left. What it is now nobody said, and nothing safe may rest on it.
void not_as_left(Step& x, const std::string& item)
{
    const auto colon = item.find(':');
    if (colon == std::string::npos) return;
    const std::string kind = item.substr(0, colon), id = item.substr(colon + 1);
    const auto forget = [&](std::map<std::string, Register>& all) {
        if (!all.contains(id)) return;
        all[id].set("unknown", x.stamp, x.seen);
        x.s.changed[item] = x.stamp;
    };
    if (kind == "breaker" && x.s.breakers.contains(id)) {
        breaker(x, id, "unknown");
        forget_dead(x, id);
    }
    if (kind == "plug") {
        forget(x.s.plugs);
        x.s.dead.erase(id);
    }
    if (kind == "panel") forget(x.s.panels);
    if (kind == "fit") forget(x.s.fitted);
    if (kind == "session") forget(x.s.sessions);
}

/// What was signed and last looked at covers the work up to now; more work comes, so it is looked at and signed for anew.
void begin_new_work(Step& x)
{
    JobState& s = x.s;
    s.signs.clear();
    s.deferral.reset();
    std::erase_if(s.done, [](const auto& step) { return step.first.starts_with(closing_look); });
    std::erase_if(s.contradictions, [](const std::string& what) { return what.starts_with("sign:"); });
    s.new_work = x.stamp;
}

/// False for an entry that was written without knowing of the newest work.
bool knows_all_work(const Step& x)
{
    const auto& work = x.s.new_work;
    return !work || work->author == x.stamp.author || covers(x.seen, work->author, work->seq);
}

/// Before anything is found a tripped breaker is evidence of the fault. After it, it is a fault of its own: what was signed and looked at
/// does not cover it, and why it tripped is owed before it is pushed.
void tripped(Step& x, const std::string& id)
{
    if (!x.s.found) return;
    const auto deferred = x.s.deferral;
    begin_new_work(x);
    x.s.deferral = deferred;
    if (!trip_unexplained(x.s, id)) x.s.owed.push_back({tripped_owes + id, "breaker_tripped", x.stamp, {}, {}, static_cast<std::int64_t>(x.s.answers.size())});
}

void did(Step& x)
{
    JobState& s = x.s;
    const std::string verb = x.text("verb"), of = x.text("of"), to = x.text("to");
    if (const std::string step = x.text("step"); !step.empty() && (!step.starts_with(closing_look) || knows_all_work(x))) s.done[step] = x.stamp;
    if (verb == "not_as_left") not_as_left(x, of);
    if (verb == silent_verb) s.silent = x.stamp;
    // The line tells of a session's end only where it saw its beginning: after a restart a person's word is all there is.
    if (verb == "session" && to == "closed")
        for (auto& [channel, reg] : s.sessions) reg.set("closed", x.stamp, x.seen);
    if (verb == "breaker") breaker(x, of, to);
    if (verb == "breaker" && to == "tripped") tripped(x, of);
    if (verb == "plug") {
        s.plugs[of].set(to, x.stamp, x.seen);
        s.disturbed.insert(of);
        s.changed["plug:" + of] = x.stamp;
        s.losses = 0;
    }
    if (verb == "panel") {
        s.panels[of].set(to, x.stamp, x.seen);
        s.changed["panel:" + of] = x.stamp;
    }
    if (verb == "fit") {
        s.fitted[of].set(to, x.stamp, x.seen);
        s.changed["fit:" + of] = x.stamp;
        if (const auto* item = profile::find(x.profile.installation.temporaries, of); item && item->kind == "breakout") s.disturbed.insert(item->at);
    }
    if (verb == "dead") s.dead[of].set("yes", x.stamp, x.seen);
    if (verb == "power") {
        s.power.set(to, x.stamp, x.seen);
        if (to == "off") power_taken(x);
        if (to == "on") {
            power_given(x);
            s.losses = 0;
        }
    }
    if (verb == "inspect") s.done["inspect:" + of] = x.stamp;
    if (verb == "swing_again") {
        s.swing.clear();
        s.swing_result.clear();
    }
    if (verb == "move" || verb == "turn") s.motion = x.stamp;
}

void self_test_ended(Step& x)
{
    JobState& s = x.s;
    const bool power_up = !s.first_ended;
    if (power_up) {
        s.first_ended = x.stamp;
        ++s.power_ups;
    }
    s.self_test_ended = x.stamp;
    s.self_test_passed = x.body["passed"].as_bool();
    s.self_test_failed.clear();
    for (const Value& bit : x.body["failed"].as_array()) {
        s.self_test_failed.push_back(bit.as_text());
        if (power_up) ++s.self_test_fails[bit.as_text()];
    }
}

void stored_faults(Step& x)
{
    if (x.s.faults_read) return;
    x.s.faults_read = true;
    for (const Value& f : x.body["faults"].as_array())
        x.s.faults.push_back({f["code"].as_text(), f["id"].as_text(), f["count"].as_int(), f["age_s"].as_int(), f["active"].as_bool()});
}

void texts(const Value& body, std::map<std::string, std::string>& into)
{
    for (const auto& [key, value] : body.as_object())
        into[key] = value.is_text() ? value.as_text() : std::to_string(value.as_int());
}

void live(Step& x)
{
    JobState& s = x.s;
    const std::string kind = x.e.envelope.kind.substr(5);
    // A unit that speaks has power: whatever was proved dead before it is so no more.
    if (kind == "self_test_started" || kind == "session_opened" || kind == "link_restored") s.dead.clear();
    if (kind == "self_test_started") {
        if (s.self_test_ended) ++s.warm_restarts;
        s.self_test_started = x.stamp;
        s.self_test_ended.reset();
        s.first_ended.reset();
        s.aligned.reset();
    }
    if (kind == "self_test_ended") self_test_ended(x);
    if (kind == "power_lost") {
        power_lost(x);
        ++s.losses;
    }
    if (kind == "motion") {
        if (!s.aligned && s.self_test_ended) ++s.align_restarts;
        s.motion = x.stamp;
        s.still.reset();
        s.aligned.reset();
    }
    if (kind == "still") s.still = x.stamp;
    if (kind == "aligned") s.aligned = x.stamp;
    if (kind == "stored_faults") stored_faults(x);
    if (kind == "identity") texts(x.body, s.identity);
    if (kind == "configuration") texts(x.body, s.configuration);
    if (kind == "session_opened") s.sessions[x.text("channel")].set("open", x.stamp, x.seen);
    if (kind == "session_closed" || kind == "session_lost")
        for (auto& [channel, reg] : s.sessions) reg.set("closed", x.stamp, x.seen);
    if (kind == "session_opened") s.changed["session:" + x.text("channel")] = x.stamp;
    if (kind.rfind("link_", 0) == 0) s.link = kind.substr(5);
    if (kind == "link_opened" || kind == "link_restored") s.silent.reset();
}

void finding(Step& x)
{
    JobState& s = x.s;
    s.finding_kind = x.text("advice");
    s.finding_class = x.text("class");
    s.finding_cause = x.text("cause");
    s.finding_p = x.text("p");
    s.finding.set(s.finding_class, x.stamp, x.seen);
    s.found = x.stamp;
}

void repair(Step& x)
{
    if (x.s.repaired) begin_new_work(x);
    x.s.repair = x.text("repair");
    x.s.repaired = x.stamp;
    x.s.answers_before_repair = static_cast<std::int64_t>(x.s.answers.size());
    // What was swung before the repair says nothing of what is fitted now.
    x.s.swing.clear();
    x.s.swing_result.clear();
    raise_owed(x, x.text("act"));
}

/// The failing check still fails after the repair: what was answered since is evidence of the same fault, and the finding falls. What was
/// answered before holds where it did not speak of what was repaired (standing.h).
void reopened(Step& x)
{
    JobState& s = x.s;
    begin_new_work(x);
    if (s.repaired) ++s.not_cured_by[s.finding_cause];
    const auto* cause = profile::find(x.profile.installation.causes, s.finding_cause);
    const auto* repair = cause ? profile::find(x.profile.installation.repairs, cause->repair) : nullptr;
    if (repair)
        for (const auto& step : repair->steps) s.done.erase(step.id);
    for (Answer& a : s.answers) a.after_repair = false;
    if (s.repaired) s.past.push_back({s.repair.value_or(""), std::exchange(s.off, {}), std::exchange(s.on, {}), s.answers_before_repair});
    s.finding_kind = s.finding_class = s.finding_cause = s.finding_p = {};
    s.finding.set("reopened", x.stamp, x.seen);
    s.found.reset();
    s.repair.reset();
    s.repaired.reset();
}

Part part_of(const Value& v)
{
    return {v["number"].as_text(), v["serial"].as_text(), v["tag"].as_text(), v["certificate"].as_text(), v["reason"].as_text()};
}

void part(Step& x)
{
    if (x.body.has("off")) x.s.off = part_of(x.body["off"]);
    if (x.body.has("on")) x.s.on = part_of(x.body["on"]);
    x.s.part_told.set("off " + x.body["off"]["serial"].as_text() + ", on " + x.body["on"]["serial"].as_text(), x.stamp, x.seen);
}

void owed(Step& x)
{
    for (OwedState& o : x.s.owed) {
        if (o.id != x.text("owed") || o.closed) continue;
        o.closed = x.stamp;
        o.result = x.text("result");
    }
}

void swing_point(Step& x)
{
    SwingPointState point{x.text("reference"), x.text("indicated"), x.stamp};
    const std::int64_t again = x.body["point"].as_int(); // counted from 1; a point sighted again takes the place of the first sighting
    if (again > 0 && again <= static_cast<std::int64_t>(x.s.swing.size())) {
        auto& taken = x.s.swing[static_cast<std::size_t>(again - 1)];
        point.taken = taken.taken + 1;
        taken = point;
    }
    else x.s.swing.push_back(point);
    x.s.swing_result.clear();
}

void defer(Step& x)
{
    if (knows_all_work(x)) x.s.deferral = {x.text("item"), x.text("category"), x.text("expires"), x.text("placard"), x.text("authority")};
}

void sign(Step& x)
{
    if (!knows_all_work(x)) return;
    const std::string meaning = x.text("meaning");
    const auto old = x.s.signs.find(meaning);
    if (old != x.s.signs.end() && old->second.person != x.e.envelope.person) x.s.contradictions.insert("sign:" + meaning);
    // One person, two keys, or two people, one key: neither is an error of form, and both want a person's eye.
    for (const auto& [other, sign] : x.s.signs)
        if (!sign.key.empty() && !x.text("key").empty() && (sign.person == x.e.envelope.person) != (sign.key == x.text("key"))) x.s.contradictions.insert("key:" + x.e.envelope.person);
    x.s.signs[meaning] = {meaning, x.e.envelope.person, x.text("certificate_kind"), x.text("certificate_number"), x.text("name"), x.text("key"), x.stamp};
}

void one(Step& x)
{
    JobState& s = x.s;
    const std::string& kind = x.e.envelope.kind;
    if (kind == "opened") opened(x);
    else if (kind == "answer") answered(x);
    else if (kind == "did") did(x);
    else if (kind.rfind("live.", 0) == 0) live(x);
    else if (kind == "presence") s.presence.set(x.text("is"), x.stamp, x.seen);
    else if (kind == "cautions_read") s.cautions_read = true;
    else if (kind == "finding") finding(x);
    else if (kind == "repair") repair(x);
    else if (kind == "reopened") reopened(x);
    else if (kind == "part") part(x);
    else if (kind == "owed") owed(x);
    else if (kind == "swing_point") swing_point(x);
    else if (kind == "swing_result") texts(x.body, s.swing_result);
    else if (kind == "photo") {
        s.photos.push_back(x.text("of") + (x.text("sha").empty() ? "" : ":" + x.text("sha")));
        if (const std::string step = x.text("step"); !step.empty()) s.done[step] = x.stamp;
    }
    else if (kind == "sign") sign(x);
    else if (kind == "defer") defer(x);
    else if (kind == "closed") s.closed = true;
}

void contradict(JobState& s)
{
    const auto look = [&](const char* kind, const std::map<std::string, Register>& all) {
        for (const auto& [id, reg] : all)
            if (reg.contested()) s.contradictions.insert(std::string(kind) + id);
            else s.contradictions.erase(std::string(kind) + id);
    };
    look("breaker:", s.breakers);
    look("plug:", s.plugs);
    const auto one = [&](const char* what, const Register& told) {
        if (told.contested()) s.contradictions.insert(what);
        else s.contradictions.erase(what);
    };
    one("finding", s.finding);
    one("part", s.part_told);
}

bool strikes(const Entry& e)
{
    return e.envelope.kind == "void" || e.envelope.kind == "amend";
}

/// What was struck, by hash, and what should stand in it: the last amendment that says so. A void takes all of it away.
std::map<std::string, Value> struck(const std::vector<const Entry*>& entries)
{
    std::map<std::string, Value> gone;
    std::set<std::string> voided;
    for (const Entry* e : entries) {
        if (!strikes(*e)) continue;
        const std::string of = e->body["of"].as_text();
        if (e->envelope.kind == "void") voided.insert(of);
        gone[of] = voided.contains(of) ? Value() : e->body["body"];
    }
    return gone;
}

Stamp stamp_of(const profile::Profile& profile, const JobState& s, const Entry& e)
{
    const auto& env = e.envelope;
    return {env.author, env.seq, e.hash, env.person, env.wall, env.mono, env.boot, stage_of_state(profile, s)};
}

/// What of it can be said anew without doing it anew.
std::string field_of(const Entry& e)
{
    if (e.envelope.kind == "note") return "text";
    return e.envelope.kind == "answer" && !e.body["number"].as_text().empty() ? "number" : "";
}

/// As it should have been written; the line keeps what was.
void apply_corrected(const profile::Profile& profile, JobState& s, const Entry& e, const Value& body)
{
    Entry corrected = e;
    for (const auto& [key, value] : body.as_object()) corrected.body.at(key) = value;
    const std::size_t lines = s.lines.size();
    apply(profile, s, corrected);
    if (s.lines.size() == lines) return;
    s.lines.back().text = detail::describe(profile, e);
    s.lines.back().field = field_of(e);
    s.lines.back().amended = s.lines.back().corrected = true;
}

} // namespace

const Answer* JobState::answer(const std::string& check) const
{
    for (auto i = answers.rbegin(); i != answers.rend(); ++i)
        if (i->check == check) return &*i;
    return nullptr;
}

const Answer* JobState::answer_after_repair(const std::string& check) const
{
    const Answer* a = answer(check);
    return a && a->after_repair ? a : nullptr;
}

void apply(const profile::Profile& profile, JobState& s, const Entry& entry)
{
    const auto& env = entry.envelope;
    if (strikes(entry)) return; // these need the whole set: the caller folds anew
    if (s.job.empty()) s.job = env.job;
    const Stamp stamp = stamp_of(profile, s, entry);
    Step x{profile, s, entry, entry.body, stamp, env.seen};
    one(x);
    contradict(s);
    ++s.entries;
    // What the shop told several tablets stands in each one's stream and is read once.
    if (const std::string telling = entry.body["telling"].as_text(); !telling.empty() && !s.tellings.insert(telling).second) return;
    s.lines.push_back({stamp, env.kind, detail::describe(profile, entry), false, field_of(entry)});
}

JobState fold(const profile::Profile& profile, const std::vector<Entry>& entries)
{
    JobState s;
    const auto order = journal::causal_order(entries);
    const auto gone = struck(order);
    for (const Entry* e : order) {
        const auto why = gone.find(e->hash);
        const bool stands = why == gone.end(), strike = strikes(*e);
        if (!strike && stands) {
            apply(profile, s, *e);
        } else if (!strike && why->second.is_object() && !why->second.as_object().empty()) {
            apply_corrected(profile, s, *e, why->second);
        } else {
            s.lines.push_back({stamp_of(profile, s, *e), e->envelope.kind, detail::describe(profile, *e), !strike, field_of(*e), false, strike ? e->body["of"].as_text() : ""});
            ++s.entries;
        }
    }
    return s;
}

} // namespace chockside::job
