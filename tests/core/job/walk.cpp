#include "walk.h"

#include <core/job/condition.h>
#include <core/job/number.h>
#include <core/job/open_items.h>
#include <core/job/silent.h>
#include <core/job/swing_result.h>

#include <algorithm>
#include <cmath>

namespace chockside::tests {

namespace {

using Kind = job::Prompt::Kind;
using How = profile::Check::How;

/// Without the thing it is about: "check:", "act:breaker:in", "swing:retake".
std::string sort_of(const std::string& id)
{
    const auto parts = [&] {
        std::vector<std::string> all(1);
        for (char c : id)
            if (c == ':') all.emplace_back();
            else all.back() += c;
        return all;
    }();
    if (parts[0] == "act" && parts.size() >= 4) return parts[0] + ':' + parts[1] + ':' + parts[3];
    if (parts[0] == "swing" && parts[1] == "retake") return "swing:retake";
    if (parts[0] == "close" || parts[0] == "sign" || parts[0] == "unit" || parts[0] == "wait") return id;
    return parts[0];
}

void settled_signals(const profile::Condition& c, std::map<std::string, bool>& into)
{
    if (c.kind == profile::Condition::Kind::settled) into[c.of] = true;
    for (const auto& part : c.parts) settled_signals(part, into);
}

const profile::CheckRow* row_of(const profile::Check& check, const profile::Cause& cause)
{
    for (const std::string& of : {cause.id, std::string("class:") + profile::name_of(cause.cause_class), std::string("*")})
        for (const auto& row : check.given)
            if (row.of == of) return &row;
    return nullptr;
}

} // namespace

Walk::Walk(profile::Profile profile, WalkOptions options) : options_(options), random_(options.seed)
{
    p_ = std::move(profile);
    const auto& causes = p_.installation.causes;
    cause_ = causes[any(causes.size())].id;
    const std::string power = chance(0.5) ? "on" : "off";
    world_["power"] = power;
    for (const auto& b : p_.installation.breakers) world_["breaker:" + b.id] = "in";
    for (const auto& plug : p_.installation.plugs) world_["plug:" + plug.id] = "connected";
    for (const auto& panel : p_.installation.panels) world_["panel:" + panel.id] = "closed";
    for (const auto& t : p_.installation.temporaries) world_["fit:" + t.id] = "no";
    const auto& complaints = p_.installation.complaints;
    const std::string complaint = complaints[any(complaints.size())].id;
    const auto opened = pen_.write("opened", body({{"tail", "Q4-RMP"}, {"power", power}, {"complaint", "as written"}, {"complaint_kind", complaint}, {"scale_milli", 1000}}));
    entries_.push_back(opened);
    job::apply(p_, s_, opened);
    settle();
}

bool Walk::powered() const
{
    if (options_.silent || world_.at("power") != "on") return false;
    for (const auto& [channel, plug] : p_.installation.test_plugs)
        for (const auto& feed : plug.second)
            if (world_.at("breaker:" + feed) == "in") return true;
    return p_.installation.test_plugs.empty();
}

job::Context Walk::now() const
{
    job::Context c = Work::now();
    c.toward = toward_;
    c.live.port_open = port_;
    c.resumed = resumed_ && !(port_ && up_);
    if (!port_ || !up_) return c;
    const double up_s = static_cast<double>(pen_.mono - up_since_) / 1000.0;
    c.live.good = c.live.known = true;
    c.live.uptime_s = up_s;
    c.live.aligned = aligned_;
    c.live.self_test_running = testing_;
    c.live.session = session_;
    for (const auto& check : p_.installation.checks) settled_signals(check.needs, c.live.settled);
    for (const auto& step : p_.installation.steps) settled_signals(step.needs, c.live.settled);
    if (p_.installation.swing) c.live.settled[p_.installation.swing->word] = true;
    return c;
}

void Walk::pass(double seconds)
{
    pen_.mono += static_cast<std::int64_t>(seconds * 1000);
    pen_.wall += static_cast<std::int64_t>(seconds * 1000);
    settle();
}

void Walk::power_comes()
{
    up_ = testing_ = true;
    aligned_ = false;
    up_since_ = still_since_ = pen_.mono;
    if (!port_) return;
    if (s_.link == "lost") note("live.link_restored");
    note("live.self_test_started");
}

void Walk::power_goes()
{
    up_ = testing_ = aligned_ = false;
    if (port_ && !session_.empty()) note("live.session_lost");
    session_.clear();
    if (port_) note("live.link_lost");
}

/// What the unit and the line do by themselves since the last look.
void Walk::settle()
{
    if (powered() && !up_) power_comes();
    if (!powered() && up_) power_goes();
    if (!up_) return;
    const double up_s = static_cast<double>(pen_.mono - up_since_) / 1000.0, still_s = static_cast<double>(pen_.mono - still_since_) / 1000.0;
    const auto& t = p_.unit.timings;
    if (testing_ && up_s >= t.self_test_max_s - 2) {
        testing_ = false;
        if (port_) self_test_told();
    }
    if (!testing_ && !aligned_ && up_s >= t.self_test_max_s + t.alignment_s && still_s >= t.alignment_s) {
        aligned_ = true;
        if (port_) note("live.aligned");
    }
    answer_by_line();
}

void Walk::self_test_told()
{
    const auto* cause = profile::find(p_.installation.causes, cause_);
    const bool fails = !p_.unit.self_test.empty() && !s_.repaired && cause->cause_class == profile::CauseClass::unit && chance(0.5);
    json::Value told(json::Object{}), failed(json::Array{});
    if (fails) failed.push(p_.unit.self_test.begin()->first);
    told.at("passed") = !fails;
    told.at("failed") = failed;
    note("live.self_test_ended", told);
}

void Walk::answer_by_line()
{
    for (const auto& command : job::automatic_answers(p_, s_, now())) (void)ask(command, "automatic");
}

void Walk::note(const std::string& kind, json::Value what)
{
    const auto entry = pen_.write(kind, std::move(what));
    entries_.push_back(entry);
    if (kind == "void" || kind == "amend") s_ = job::fold(p_, entries_);
    else job::apply(p_, s_, entry);
}

const job::JobView& Walk::view()
{
    if (reasoned_at_ != s_.entries) {
        reasoning_ = job::reason(p_, s_, now());
        reasoned_at_ = s_.entries;
    }
    view_ = job::build_view(p_, s_, now(), reasoning_);
    toward_ = view_.next.toward;
    return view_;
}

void Walk::flaw(const char* what, const std::string& prompt, const std::string& detail)
{
    for (const auto& f : flaws_)
        if (f.what == what && f.prompt == prompt && f.detail == detail) return;
    flaws_.push_back({what, prompt, detail});
    told_.push_back(std::string("   FLAW ") + what + ' ' + prompt + ' ' + detail);
}

std::string Walk::told() const
{
    std::string all;
    const std::size_t most = 300, from = told_.size() > most ? told_.size() - most : 0;
    for (std::size_t i = from; i < told_.size(); ++i) all += told_[i] + '\n';
    return all;
}

/// What a person can see that an answer has done.
std::string Walk::seen(const job::JobView& v) const
{
    std::string all = v.next.id + '|' + v.next.say + '|' + v.next.detail + '|' + v.presence + '|' + v.finding + '|' + v.sentence;
    for (const auto& other : v.others) all += '|' + other.id;
    for (const auto& item : v.open) all += '|' + item.id + item.word;
    for (const auto& b : v.breakers) all += '|' + b.state + (b.contested ? "!" : "");
    for (const auto& e : v.isolate.evidence) all += '|' + e.text;
    for (const auto& gate : v.isolate.gates) all += '|' + gate.word;
    for (const auto& o : v.owed) all += '|' + o.word;
    for (const auto& a : v.debrief) all += "|" + a.words;
    for (const auto& a : v.saved) all += '|' + a.word;
    for (const auto& point : v.swing.points) all += '|' + fixed_text(point.reference_deg, 2) + ' ' + fixed_text(point.indicated_deg, 2);
    for (const auto* registers : {&s_.dead, &s_.fitted, &s_.plugs, &s_.panels})
        for (const auto& [of, reg] : *registers) all += '|' + of + '=' + reg.agreed().value_or("?");
    return all + '|' + s_.power.agreed().value_or("?") + v.swing.result + '|' + fixed_text(v.isolate.leading_p, 6) + '|' + std::to_string(s_.answers.size()) + '|' + std::to_string(s_.done.size()) + '|' + std::to_string(s_.photos.size()) + '|'
        + std::to_string(s_.signs.size()) + '|' + std::to_string(s_.presence.last() ? s_.presence.last()->seq : 0);
}

Walk::Reply Walk::outcome_of(const profile::Check& check)
{
    const bool astray = !careful() && chance(options_.wild);
    const auto* cause = profile::find(p_.installation.causes, cause_);
    if (astray) return {check.outcomes[any(check.outcomes.size())], {}, "astray"};
    const auto* row = s_.repaired ? nullptr : row_of(check, *cause);
    if (!row || row->outcomes.size() != check.outcomes.size()) return {check.outcomes.back(), {}, "good"};
    double left = random_.uniform();
    for (std::size_t i = 0; i < row->outcomes.size(); ++i)
        if ((left -= row->outcomes[i]) < 0) return {check.outcomes[i], {}, "as the cause"};
    return {check.outcomes.back(), {}, "as the cause"};
}

Walk::Reply Walk::number_for(const job::Prompt& q)
{
    if (q.args["verb"].as_text() == "dead") return {!careful() && chance(options_.wild) ? "27.4" : "0.02", {}, "dead"};
    const bool astray = !careful() && chance(options_.wild);
    if (!q.choices.empty() && astray && chance(0.5)) {
        const auto& choice = q.choices[any(q.choices.size())];
        return {{}, body({{"outcome", choice.first}}), choice.second};
    }
    const auto* check = profile::find(p_.installation.checks, q.args["check"].as_text());
    const auto* cause = profile::find(p_.installation.causes, cause_);
    const auto* row = check && !s_.repaired ? row_of(*check, *cause) : nullptr;
    if (row && row->number && !astray) return {fixed_text(row->number->kind == profile::Density::Kind::normal ? random_.normal(row->number->a, row->number->b) : row->number->a, 2), {}, "as the cause"};
    const auto limits = q.limits.value_or(check && check->limits ? *check->limits : std::pair{0.0, 1.0});
    const double good = limits.second > 1e6 ? limits.first + 10 : limits.first < -1e6 ? limits.second / 2 : (limits.first + limits.second) / 2;
    return {fixed_text(astray ? limits.second + 3.7 : good, 2), {}, astray ? "astray" : "good"};
}

Walk::Reply Walk::reply_to(const job::Prompt& q)
{
    const auto* check = profile::find(p_.installation.checks, q.args["check"].as_text());
    switch (q.kind) {
    case Kind::number: return number_for(q);
    case Kind::read: return check && !check->outcomes.empty() ? outcome_of(*check) : check ? number_for(q) : Reply{};
    case Kind::choose:
        if (check) return outcome_of(*check);
        if (q.id == "close:tripped") return {*tripped(), {}, "tripped"};
        if (q.id == "close:breakers") {
            for (const auto& b : p_.installation.breakers)
                if (world_.at("breaker:" + b.id) != "in") return {b.id, {}, "out"};
            return {q.choices.front().first, {}, "all in"};
        }
        if (q.command == "presence") return {chance(0.7) ? "showing" : chance(0.7) ? "absent" : "unknown", {}, {}};
        return {q.choices[any(q.choices.size())].first, {}, {}};
    case Kind::swing_point: {
        heading_ = job::number_of(q.to).value_or(0);
        const double slip = !careful() && chance(options_.wild) ? 25 : 0;
        const double reference = std::fmod(heading_ + 360 + random_.normal(0, 0.3), 360), indicated = std::fmod(reference + 360 + slip + random_.normal(0, 0.2), 360);
        return {fixed_text(reference, 2), body({{"indicated", fixed_text(indicated, 2)}}), {}};
    }
    case Kind::photo: return {{}, body({{"sha", std::string(64, 'a')}}), {}};
    case Kind::part:
        return {{}, body({{"off", body({{"number", q.label}, {"serial", "0417"}, {"tag", "U-31"}, {"reason", "see sheet"}})}, {"on", body({{"number", q.label}, {"serial", "0733"}, {"certificate", "RC-1182 (invented)"}})}}), {}};
    case Kind::text: {
        Reply said;
        for (const auto& [field, title] : q.fields) said.extra.at(field) = "as " + title;
        return said;
    }
    default: return {};
    }
}

job::Command Walk::command_for(const job::Prompt& q, const Reply& reply)
{
    job::Command command = job::command_of(q, reply.answer, reply.extra);
    command.person = "LK";
    if (q.verb == "compute")
        if (const auto fit = job::swing_result_command(p_, s_)) command = *fit;
    if (q.kind != Kind::sign) return command;
    const bool inspector = q.label == "inspected";
    command.person = inspector ? "JM" : "LK";
    for (const auto& [key, value] : {std::pair{"name", "L. Kestrel (invented)"}, {"certificate_kind", "airframe mechanic (invented)"}, {"certificate_number", "NM-117"}}) command.args.at(key) = value;
    command.args = signed_by(s_.job, command.person, command.args, inspector ? 7 : 3);
    return command;
}

/// Through the guard into the journal.
bool Walk::ask(const job::Command& command, const std::string& prompt)
{
    pen_.person = command.person.empty() ? "LK" : command.person;
    const auto drafts = job::guard(p_, s_, now(), command);
    if (!drafts) {
        std::string why = drafts.error().code;
        for (const auto& [key, value] : drafts.error().args) why += ' ' + value;
        told_.push_back("   refused: " + why);
        const bool live_pins = drafts.error().code == "not_dead" && command.args["verb"].as_text() == "dead";
        const bool stands = prompt == "void"; // what the line wrote, or somebody signed, is not taken back so
        if (!live_pins && !stands) flaw("refused", prompt, why);
        return live_pins; // said so, and nothing is written
    }
    for (const auto& draft : *drafts) {
        note(draft.kind, draft.body);
        if (draft.kind == "did") hands(draft.body);
    }
    pass(20);
    return true;
}

void Walk::hands(const json::Value& did)
{
    const std::string verb = did["verb"].as_text(), of = did["of"].as_text(), to = did["to"].as_text();
    if (verb == "power") world_["power"] = to;
    if (verb == "breaker" || verb == "plug" || verb == "panel" || verb == "fit") world_[verb + ':' + of] = to;
}

/// What the desk does on the line before the act is written. False where nothing answers.
bool Walk::by_line(const job::Prompt& q)
{
    if (q.verb == "link") {
        if (!up_) return false;
        port_ = true;
        note(s_.link ? "live.link_restored" : "live.link_opened");
        if (testing_) note("live.self_test_started");
        else self_test_told();
        if (aligned_) note("live.aligned");
        return true;
    }
    if (q.verb != "session" && q.verb != "request") return true;
    if (q.verb == "session" && q.to == "closed" && session_.empty()) return true; // a person's word
    if (!port_ || !up_) return false;
    if (q.verb == "session") {
        session_ = q.to == "closed" ? "" : q.args["of"].as_text();
        note(session_.empty() ? "live.session_closed" : "live.session_opened", session_.empty() ? body({}) : body({{"channel", session_}}));
        return true;
    }
    page_read(q.args["of"].as_text());
    return true;
}

void Walk::page_read(const std::string& request)
{
    for (const auto& r : p_.unit.requests) {
        if (r.name != request) continue;
        if (r.reply == p_.unit.faults.frame) note("live.stored_faults", body({{"faults", json::Value(json::Array{})}}));
        for (const char* page : {"identity", "configuration"})
            if (r.reply == page) note(std::string("live.") + page, expected_page(page));
    }
}

json::Value Walk::expected_page(const std::string& page)
{
    json::Value fields(json::Object{});
    for (const auto& [key, allowed] : p_.installation.expected) {
        const auto at = key.find(page + '.');
        if (at != std::string::npos && !allowed.empty()) fields.at(key.substr(at + page.size() + 1)) = allowed.front();
    }
    return fields;
}

void Walk::wait(const job::Prompt& q)
{
    double left = 30;
    for (const auto& w : view_.waits)
        if (w.id == q.label) left = std::max(5.0, w.left_s);
    pass(left);
}

/// What the person does at one prompt. False where it led nowhere.
bool Walk::attempt(const job::Prompt& q)
{
    if (q.kind == Kind::wait || (!q.ready && q.kind == Kind::swing_point)) return wait(q), true;
    if (!q.ready || q.kind == Kind::none || q.id == "stuck") return false;
    const Reply reply = reply_to(q);
    told_.push_back(std::string(job::name_of(q.stage)) + " " + q.id + " <- " + reply.answer + ' ' + reply.words);
    if (port_ && up_ && (q.verb == "turn" || q.verb == "move" || q.kind == Kind::swing_point)) {
        note("live.motion");
        pass(40);
        note("live.still");
        still_since_ = pen_.mono;
        aligned_ = true;
        note("live.aligned");
    }
    if (!by_line(q)) return false;
    met_.insert(sort_of(q.id));
    return ask(command_for(q, reply), q.id);
}

void Walk::dip()
{
    told_.push_back("   power dips");
    note("live.power_lost");
    up_since_ = still_since_ = pen_.mono;
    testing_ = true;
    aligned_ = false;
    if (!session_.empty()) note("live.session_lost");
    session_.clear();
    note("live.self_test_started");
}

void Walk::pull_cable()
{
    told_.push_back("   the cable is pulled");
    if (up_) note("live.link_lost");
    if (!session_.empty()) note("live.session_lost");
    session_.clear();
    port_ = false;
}

/// The tablet starts anew: its clock with it, and the line tells nothing of how it ended.
void Walk::restart()
{
    told_.push_back("   the tablet starts anew");
    const std::int64_t back = pen_.mono - 60'000;
    pen_.boot += "'";
    for (std::int64_t* at : {&pen_.mono, &up_since_, &still_since_}) *at -= back;
    port_ = false;
    session_.clear();
    resumed_ = true;
}

void Walk::trip()
{
    const auto& breakers = p_.installation.breakers;
    const auto& b = breakers[any(breakers.size())];
    if (world_.at("breaker:" + b.id) != "in" || s_.done.contains("close.breakers")) return; // after the last look nobody sees it
    told_.push_back("   trips unseen: " + b.id);
    world_["breaker:" + b.id] = "tripped";
}

std::optional<std::string> Walk::tripped() const
{
    for (const auto& b : p_.installation.breakers)
        if (world_.at("breaker:" + b.id) == "tripped") return b.id;
    return std::nullopt;
}

/// An answer that somebody takes back.
void Walk::take_back()
{
    std::vector<std::string> answers;
    for (const auto& e : entries_)
        if (e.envelope.kind == "answer") answers.push_back(e.hash);
    if (answers.empty()) return;
    const std::string of = answers[any(answers.size())];
    told_.push_back("   taken back: " + of);
    (void)ask({"", "void", body({{"of", of}, {"reason", "wrong aircraft side"}}), "LK"}, "void");
}

/// What a second tablet wrote comes late: it did not know of the last entries here.
void Walk::other_tablet()
{
    const auto& breakers = p_.installation.breakers;
    const auto& checks = p_.installation.checks;
    other_.author = "b";
    other_.person = "JM";
    other_.wall = pen_.wall;
    other_.mono = pen_.mono / 2;
    other_.known = entries_[entries_.size() - 1 - any(std::min<std::size_t>(entries_.size(), 12))].envelope.seen;
    other_.known["b"] = other_.seq;
    std::string kind = "did";
    json::Value what = body({});
    if (chance(0.6)) {
        const std::string id = breakers[any(breakers.size())].id, to = chance(0.5) ? "collared" : "in";
        what = did_body("breaker", id, to);
        hands(what);
    } else if (const auto& check = checks[any(checks.size())]; !check.outcomes.empty()) {
        kind = "answer";
        what = body({{"check", check.id}, {"outcome", check.outcomes[any(check.outcomes.size())]}, {"presence", "showing"}});
    } else {
        return;
    }
    told_.push_back("   another tablet: " + kind + ' ' + json::write(what));
    entries_.push_back(other_.write(kind, what));
    pen_.known["b"] = other_.seq;
    s_ = job::fold(p_, entries_);
}

/// Things that nobody asked for.
void Walk::stray()
{
    switch (any(7)) {
    case 5: other_tablet(); break;
    case 0: if (up_ && port_) dip(); break;
    case 1: if (port_) pull_cable(); break;
    case 2: restart(); break;
    case 3: trip(); break;
    case 4: take_back(); break;
    default:
        if (view_.open.empty()) break;
        const auto& item = view_.open[any(view_.open.size())];
        told_.push_back("   not as left: " + item.id);
        (void)ask({"", "did", body({{"verb", "not_as_left"}, {"of", item.id}, {"words", "not as left"}}), "LK"}, "not_as_left");
    }
    settle();
}

void Walk::step()
{
    ++steps_;
    view();
    if (!careful() && chance(options_.strays)) {
        stray();
        view();
    }
    job::Prompt q = view_.next;
    const auto waits_for_gate = [](const job::Prompt& p) { return p.id == "defer" && !p.ready; };
    gate_waits_ = gate_waits_ || waits_for_gate(view_.next) || std::any_of(view_.others.begin(), view_.others.end(), waits_for_gate);
    if (q.id == "stuck") flaw("stuck", last_, q.missing);
    const bool aside = !view_.others.empty() && (chance(careful() ? 0 : options_.aside) || !q.ready);
    if (aside && q.kind != Kind::wait) q = view_.others[any(view_.others.size())];
    if (q.id == "close:tripped" && !tripped()) q = view_.next;
    const std::string before = seen(view_);
    bool did = attempt(q);
    // Nothing comes, or it waits for what does not come: the other ways.
    const std::size_t n = view_.others.size(), first = n > 0 ? any(n) : 0;
    for (std::size_t i = 0; !did && i < n; ++i) {
        const job::Prompt other = view_.others[(first + i) % n];
        did = other.id != "close:tripped" && attempt(q = other);
    }
    const std::string after = seen(view());
    const bool live_pins = !told_.empty() && told_.back().rfind("   refused", 0) == 0;
    if (did && !live_pins && q.kind != Kind::wait && before == after) flaw("no_effect", q.id, "");
    if (!did && before == after && view_.next.kind != Kind::wait) flaw(q.ready ? "leads_nowhere" : "not_ready", q.id, q.missing);
    in_a_row_ = view_.next.id == last_ ? in_a_row_ + 1 : 0;
    last_ = view_.next.id;
    // A deferral waits for its gate as long as the fault does not show; the job is handed over with it.
    const bool waits_for_fault = view_.next.id == "defer" && !view_.next.ready;
    if (in_a_row_ == 12 && !waits_for_fault) flaw("again", last_, view_.next.say);
}

void Walk::run()
{
    while (!s_.closed && steps_ < options_.most_steps) {
        step();
        if (in_a_row_ > 30) break;
    }
    judge_end();
}

void Walk::judge_end()
{
    // Where nobody could tell the side at fault no deferral may release it: such a job is handed over open.
    if (!s_.closed && gate_waits_) return;
    if (!s_.closed) return flaw("not_closed", view_.next.id, view_.next.say + (view_.next.ready ? "" : " waits: " + view_.next.missing));
    for (const auto& [thing, state] : world_) {
        const std::string kind = thing.substr(0, thing.find(':'));
        const std::string right = kind == "breaker" ? "in" : kind == "plug" ? "connected" : kind == "panel" ? "closed" : kind == "fit" ? "no" : state;
        if (state != right) flaw("not_as_left", thing, state);
    }
    const job::JobState whole = job::fold(p_, entries_);
    if (!(whole == s_)) flaw("fold", "", "one by one it came out otherwise");
}

} // namespace chockside::tests
