#include <platform/desk/rehearsal.h>

#include <platform/desk/eyes.h>
#include <platform/desk/hands.h>

#include <core/job/number.h>

#include <algorithm>

namespace chockside::desk {

namespace {

constexpr int watchdog_ms = 240'000; // without a new entry for so long, something is stuck

json::Value object(std::initializer_list<std::pair<const char*, json::Value>> members)
{
    json::Value v(json::Object{});
    for (const auto& [key, value] : members) v.at(key) = value;
    return v;
}

class DeskPresser final : public Presser {
public:
    explicit DeskPresser(Desk& desk) : desk_(desk) {}
    void press(const job::Prompt& prompt, const std::string& answer, const json::Value& extra) override
    {
        desk_.press(QString::fromStdString(prompt.id), QString::fromStdString(answer), extra);
    }
    void flex_mark(const std::string& place) override { desk_.flex_mark(QString::fromStdString(place)); }

private:
    Desk& desk_;
};

} // namespace

Rehearsal::~Rehearsal() = default;

Rehearsal::Rehearsal(Desk& desk, PracticeDriver& world, RehearsalOptions options, Presser* presser, QObject* parent)
    : QObject(parent), desk_(desk), world_(world), options_(std::move(options)), own_presser_(presser ? nullptr : std::make_unique<DeskPresser>(desk)),
      presser_(presser ? *presser : *own_presser_), random_(options_.seed)
{
    presser_.stuck = [this](const std::string& why) { finish("cannot press: " + why); };
    connect(&desk_, &Desk::view_changed, this, [this](std::shared_ptr<const job::JobView> v) {
        view_ = std::move(v);
        consider();
    });
    connect(&desk_, &Desk::saved, this, [this](const QString& id) {
        emit pressed(id);
        watchdog_.start(watchdog_ms);
        tries_.erase(id.toStdString());
        if (id.toStdString() == "finding") finding_told();
        if (id.toStdString() == prompt_.id) busy_ = false;
        consider();
    });
    connect(&desk_, &Desk::problem, this, &Rehearsal::on_problem);
    connect(&sampler_, &QTimer::timeout, this, &Rehearsal::sample);
    connect(&watchdog_, &QTimer::timeout, this, [this] { finish("no progress at " + prompt_.id + " (" + last_problem_ + ")"); });
}

void Rehearsal::begin()
{
    sampler_.start(100);
    watchdog_.start(watchdog_ms);
    consider();
}

void Rehearsal::on_problem(const Problem& what)
{
    last_problem_ = what.code;
    for (const auto& [key, value] : what.args) last_problem_ += " " + key + "=" + value;
    if (options_.talk) std::printf("  problem %s\n", last_problem_.c_str());
    if (!busy_) return;
    if (++tries_[prompt_.id] > 30) return finish("refused at " + prompt_.id + ": " + last_problem_);
    // A display that comes up again after a breaker has minutes to go: looking twice a second would use up all patience.
    after(what.code == "no_reading" ? 10 : 2, [this] {
        busy_ = false;
        consider();
    });
}

void Rehearsal::consider()
{
    if (!view_ || busy_ || over_) return;
    if (view_->closed) return finish({});
    const job::Prompt& next = view_->next;
    if (next.kind == job::Prompt::Kind::none || !next.ready) return;
    if (next.verb == "watch" && next.to == "running") return; // ends by itself
    busy_ = true;
    prompt_ = next;
    if (next.stage == job::Stage::isolate && options_.dwell_min > 0 && !dwelt_) {
        dwelt_ = true;
        watchdog_.start(watchdog_ms + static_cast<int>(options_.dwell_min * 60'000 / options_.scale));
        return after(options_.dwell_min * 60, [this] {
            busy_ = false;
            consider();
        });
    }
    if (options_.talk) std::printf("[%s] %s\n", job::title_of(next.stage), next.say.c_str()), std::fflush(stdout);
    act(prompt_);
}

void Rehearsal::press(const std::string& answer, const json::Value& extra)
{
    if (over_) return;
    json::Value with = extra.is_object() ? extra : json::Value(json::Object{});
    presser_.press(prompt_, answer, with);
}

void Rehearsal::press_after(double job_seconds, const std::string& answer, const json::Value& extra)
{
    after(job_seconds, [this, answer, extra] { press(answer, extra); });
}

void Rehearsal::after(double job_seconds, Then then)
{
    QTimer::singleShot(std::max(1, static_cast<int>(job_seconds * 1000 / options_.scale)), this, std::move(then));
}

void Rehearsal::hand(const json::Value& move, Then then)
{
    world_.ask(move, [this, move, then](const json::Value& answer) {
        if (answer["is"].as_text() != "done") {
            last_problem_ = "hand " + json::write(move) + " -> " + json::write(answer);
            if (options_.talk) std::printf("  %s\n", last_problem_.c_str());
        }
        if (move["hand"].as_text() == "power" && move["to"].as_text() == "on") {
            power_on_at_ = samples_.empty() ? 0 : samples_.back().clock;
            dark_s_[0] = dark_s_[1] = 0;
        }
        if (then) then();
    });
}

void Rehearsal::eye(std::initializer_list<std::pair<const char*, json::Value>> ask, Seen seen)
{
    world_.ask(object(ask), std::move(seen));
}

/// Where the app itself would send a person's eyes for this prompt.
void Rehearsal::look(const job::Prompt& q, Seen seen)
{
    if (const auto where = eye_for(q)) world_.ask(*where, std::move(seen));
    else finish("nowhere to look for " + q.id);
}

void Rehearsal::sample()
{
    if (!plates_.is_object()) eye({{"eye", "serials"}}, [this](const json::Value& plates) { if (!plates_.is_object()) plates_ = plates; });
    eye({{"eye", "all"}}, [this](const json::Value& all) {
        Sample s;
        s.clock = all["clock"].as_double();
        const char* names[] = {"DISP 1", "DISP 2"};
        for (int i = 0; i < 2; ++i) {
            const json::Value& d = all[names[i]];
            s.face[i] = {d["is"].as_text() == "lit", d["flag"].as_bool(), d["cross"].as_bool(), d["heading"].is_number() ? d["heading"].as_double() : -1};
        }
        s.standby = all["standby"]["heading"].as_double(-1);
        const json::Value& altimeters = all["altimeters"];
        s.alt_flag = altimeters["ALT 1"]["is"].as_text() != "lit" || altimeters["ALT 1"]["flag"].as_bool();
        s.alt_off_ft = altimeters["ALT 1"]["altitude"].as_double() - altimeters["elevation"].as_double();
        s.standby_off_ft = altimeters["standby"]["altitude"].as_double() - altimeters["elevation"].as_double();
        s.moving = all["moving"].as_bool();
        if (begin_clock_ < 0) begin_clock_ = s.clock;
        if (s.face[0].dark() && s.face[1].dark()) dark_s_[0] = dark_s_[1] = 0; // the unit is without power, or about to come up
        else if (!samples_.empty() && power_on_at_ >= 0)
            for (int i = 0; i < 2; ++i)
                if (s.face[i].dark()) dark_s_[i] += s.clock - samples_.back().clock;
        samples_.push_back(s);
        while (samples_.size() > 2000) samples_.pop_front();
    });
}

std::vector<Rehearsal::Sample> Rehearsal::recent(double job_seconds) const
{
    std::vector<Sample> out;
    if (samples_.empty()) return out;
    for (const Sample& s : samples_)
        if (s.clock >= samples_.back().clock - job_seconds) out.push_back(s);
    return out;
}

void Rehearsal::act(const job::Prompt& q)
{
    using Kind = job::Prompt::Kind;
    if (q.verb == "breaker" && q.to == "in" && q.stage == job::Stage::close && q.label == options_.forget && !forgotten_) {
        forgotten_ = true;
        return press({});
    }
    if (q.id == "close:breakers") return last_look(0);
    if (q.id == "close:displays") return displays_normal();
    if (const auto move = hand_for(q); move && q.kind != Kind::swing_point) return hand(*move, [this] { press_after(1, {}); });
    switch (q.kind) {
    case Kind::choose: return answer_choice(q);
    case Kind::number: return answer_number(q);
    case Kind::swing_point: return turn(q);
    case Kind::sign: return sign(q);
    case Kind::part: return part();
    case Kind::text: return defer();
    case Kind::photo: return look(q, [this](const json::Value& seen) { press({}, object({{"of", prompt_.label + " " + seen["text"].as_text()}})); });
    case Kind::read: return q.verb == "flex" ? flex(q) : press({});
    default: return press({});
    }
}

std::string Rehearsal::maybe_slip(const job::Prompt& q, std::string answer)
{
    if (q.stage == job::Stage::prove || random_.uniform() >= options_.slip || q.choices.size() < 2) return answer;
    return q.choices[random_.below(q.choices.size())].first;
}

void Rehearsal::answer_choice(const job::Prompt& q)
{
    if (q.command == "presence")
        return look(q, [this](const json::Value& seen) { press(seen["is"].as_text() == "showing" ? "showing" : "absent"); });
    const std::string check = q.args["check"].as_text();
    if (q.verb == "crew")
        return look(q, [this](const json::Value& seen) { press(maybe_slip(prompt_, seen["answer"].as_text())); });
    answer_look(q, check);
}

void Rehearsal::answer_look(const job::Prompt& q, const std::string& check)
{
    if (check == "side_by_side") return after(60, [this] { side_by_side(); });
    if (check == "selector_look")
        return eye({{"eye", "selector"}, {"what", "1"}}, [this](const json::Value& one) {
            const bool first = one["is"].as_text() == "free";
            eye({{"eye", "selector"}, {"what", "2"}}, [this, first](const json::Value& two) { press(first || two["is"].as_text() == "free" ? "free" : "slaved"); });
        });
    if (check == "own_leads") return press("good");
    if (check == "first_minutes") return cross_seconds(20);
    if (check == "heater_flag") return heater_flag();
    if (check == "altimeters") return after(60, [this] { altimeters(); });
    if (check == "baro_look") return look(q, [this](const json::Value& seen) { press(seen["is"].as_text()); });
    if (check.rfind("look_", 0) == 0) return look(q, [this](const json::Value& seen) { press(seen["wet"].as_bool() ? "wet" : "dry"); });
    if (check == "contact_j1") return look(q, [this](const json::Value& seen) { press(seen["height"].as_text() == "low" ? "low" : "good"); });
    if (check == "windings") return windings();
    if (check == "move_50") return move_50();
    finish("no way to answer " + check + " (" + q.say + ")");
}

void Rehearsal::answer_number(const job::Prompt& q)
{
    const std::string check = q.args["check"].as_text();
    if (check == "volts_cart") return with_load("CART LOAD", q);
    if (check == "volts_j1" || check == "heater_amps") return with_load("PITOT HT", q);
    meter(q);
}

void Rehearsal::with_load(const char* what, const job::Prompt& q)
{
    const std::string load = what;
    hand(object({{"hand", "load"}, {"what", load}, {"to", "on"}}), [this, q, load] {
        after(4, [this, q, load] {
            meter(q);
            after(4, [this, load] { hand(object({{"hand", "load"}, {"what", load}, {"to", "off"}})); });
        });
    });
}

void Rehearsal::meter(const job::Prompt& q)
{
    look(q, [this](const json::Value& seen) {
        if (!seen["value"].is_number()) {
            last_problem_ = "meter at " + prompt_.points + " says " + seen["is"].as_text();
            return on_problem(Problem{"no_reading", prompt_.id, {{"points", prompt_.points}, {"is", seen["is"].as_text()}}});
        }
        press(fixed_text(seen["value"].as_double(), 3));
    });
}

void Rehearsal::sign(const job::Prompt& q)
{
    const bool inspector = q.label == "inspected";
    press({}, object({{"person", inspector ? options_.inspector : options_.worker}, {"name", inspector ? "J. Merle (invented)" : "L. Kestrel (invented)"},
        {"certificate_kind", inspector ? "inspector (invented)" : "airframe mechanic (invented)"}, {"certificate_number", inspector ? "NM-204" : "NM-117"},
        {"pin", inspector ? "730914" : worker_pin}}));
}

void Rehearsal::defer()
{
    press({}, object({{"item", "34-20-01 (invented)"}, {"category", "C"}, {"expires", "10 days"}, {"placard", "HDG 1 INOP, at display 1"}, {"authority", "maintenance control, R. Teal (invented)"}}));
}

void Rehearsal::part()
{
    look(prompt_, [this](const json::Value& serials) {
        const std::string part = prompt_.label;
        result_.part_off = part;
        press({}, object({{"off", object({{"number", part}, {"serial", plates_[part].as_text()}, {"tag", "U-31"}, {"reason", "see troubleshooting sheet"}})},
            {"on", object({{"number", part}, {"serial", serials[part].as_text()}, {"certificate", "RC-1182 (invented)"}})}}));
    });
}

void Rehearsal::finding_told()
{
    if (told_ || !view_) return;
    told_ = true;
    const json::Value& args = prompt_.args;
    result_.finding_kind = args["advice"].as_text();
    result_.finding_class = args["class"].as_text();
    result_.finding_cause = args["cause"].as_text();
    result_.leads = args["leads"].as_text();
    result_.p = job::number_of(args["p"].as_text()).value_or(0);
    for (const auto& gate : args["missing"].as_array()) result_.missing.push_back(gate.as_text());
    result_.unit_advised = result_.finding_class == "unit" && result_.finding_kind == "isolated";
    world_.ask(object({{"finding", result_.finding_class}}));
}

void Rehearsal::leave()
{
    over_ = true;
    sampler_.stop();
    watchdog_.stop();
}

void Rehearsal::finish(const std::string& stuck)
{
    if (over_) return;
    over_ = true;
    sampler_.stop();
    watchdog_.stop();
    result_.stuck = stuck;
    result_.closed = view_ && view_->closed;
    result_.entries = view_ ? view_->entries : 0;
    if (!samples_.empty()) result_.job_minutes = (samples_.back().clock - begin_clock_) / 60;
    if (!told_) world_.ask(object({{"finding", "none told"}}));
    world_.ask(object({{"reveal", true}}), [this](const json::Value& truth) {
        result_.truth = truth["fault"].as_text();
        result_.truth_class = truth["class"].as_text();
        for (const auto& m : truth["mishaps"].as_array()) result_.mishaps.push_back(m.as_text());
        emit done(result_);
    });
}

} // namespace chockside::desk
