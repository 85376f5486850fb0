#include <platform/desk/desk_worker.h>

#include <platform/desk/facts.h>
#include <platform/desk/own_store.h>
#include <platform/desk/picture.h>
#include <platform/desk/profiles.h>
#include <platform/desk/request_problem.h>
#include <platform/desk/signing.h>

#include <core/job/number.h>
#include <core/job/strike.h>
#include <core/job/swing_result.h>

#include <QCoreApplication>

#include <algorithm>
#include <limits>

namespace chockside::desk {

namespace {

constexpr std::int64_t publish_ms = 200;   // figures at most five times a second
constexpr std::int64_t line_patience_ms = 20'000;
constexpr std::int64_t look_after_ms = 1000; // signatures are no part of a start: the jobs come on the glass first

bool by_line(const job::Prompt& q)
{
    return q.verb == "link" || q.verb == "session" || q.verb == "request" || q.verb == "watch" || q.verb == "flex";
}

} // namespace

DeskWorker::DeskWorker(DeskOptions options) : options_(std::move(options)), people_(disk_, clock_, random_, options_.data_folder + "/people") {}
DeskWorker::~DeskWorker() = default;

void DeskWorker::start()
{
    timer_ = std::make_unique<QTimer>();
    connect(timer_.get(), &QTimer::timeout, this, &DeskWorker::tick);
    timer_->start(100);
    look_from_ms_ = clock_.now().mono_ms + look_after_ms;
    auto store = [&] {
        OwnStore own = own_store(disk_, options_.data_folder);
        keyring_ = std::move(own.keeper);
        return journal::Store::open(disk_, clock_, random_, std::move(own.options));
    }();
    if (!store) {
        emit problem(no_store_ = store.error());
        return;
    }
    engine_ = std::make_unique<Engine>(std::move(*store), clock_);
    engine_->set_person(person_);
    if (const std::string& why = engine_->store().began_anew(); !why.empty()) emit problem(Problem{why, "store", {}});
    people_.seal_with({[this](const std::string& about, ByteView plain) { return engine_->store().seal_note(about, plain); },
        [this](const std::string& about, ByteView sealed) { return engine_->store().unseal_note(about, sealed); }});
    shop_ = std::make_unique<ShopLink>(engine_->store(), clock_, random_, std::string());
    connect(shop_.get(), &ShopLink::changed, this, &DeskWorker::tell_queue);
    connect(shop_.get(), &ShopLink::came, this, &DeskWorker::take_came);
    shop_->start();
    emit key_kept(engine_->store().key_in_keyring());
    tell_lock();
    tell_people();
    tell_from_shop();
    publish_rows();
}

/// A few entries a tick, until all that came since the last time are looked at. The first that is not what was written is told once.
void DeskWorker::look_on()
{
    constexpr std::size_t a_few = 20;
    const auto looked = engine_->store().verify_next(a_few);
    look_ = looked && looked->to_do;
    if (looked && looked->first_bad) emit problem(Problem{"not_verified", looked->first_bad->author + "/" + std::to_string(looked->first_bad->seq), {{"what", looked->first_bad->reason}}});
}

void DeskWorker::tell_people()
{
    if (auto all = people_.list()) emit people(std::move(*all));
}

void DeskWorker::publish_rows()
{
    if (!engine_) return;
    engine_->keep_row();
    if (const auto all = engine_->store().count_jobs()) emit counted(*all - static_cast<qint64>(unopened_.size()));
    if (auto found = engine_->store().jobs(100, search_)) {
        std::erase_if(*found, [this](const journal::JobRow& r) { return unopened_.contains(r.job); });
        for (const auto& r : *found)
            if (is_stale(r) && freshened_.insert(r.job).second) stale_.push_back(r.job);
        emit rows(*found);
    }
}

/// Its words are of fewer entries than it has: the app was killed before they were written anew, or entries came from elsewhere.
bool DeskWorker::is_stale(const journal::JobRow& row) const
{
    return row.status != "closed" && !engine_->store().locked() && row.about["entries"].as_int() != row.entries;
}

/// One job a tick, and the list once more when all are done.
void DeskWorker::freshen()
{
    const std::string job = std::move(stale_.front());
    stale_.pop_front();
    if (!engine_->has_job() || engine_->state().job != job) (void)engine_->row_of(job, [this](const std::string& sha) { return profile_for(sha); });
    if (stale_.empty()) publish_rows();
}

void DeskWorker::search(const QString& words)
{
    search_ = words.trimmed().toStdString();
    publish_rows();
}

Result<std::shared_ptr<const profile::Profile>> DeskWorker::profile_for(const std::string& sha)
{
    return load_bundled(disk_, options_.assets_folder, options_.profile, engine_->store(), sha);
}

void DeskWorker::open_new(const job::Opening& opening, const QString& person, const QString& name)
{
    if (barred()) return;
    auto bytes = bundle_of(name.toStdString());
    auto profile = bytes ? parse_bundle(*bytes) : Result<std::shared_ptr<const profile::Profile>>(Unexpected{bytes.error()});
    if (!profile) {
        emit problem(profile.error());
        return;
    }
    job::Opening as_it_may = opening;
    as_it_may.practice = opening.practice || (*profile)->practice; // an invented aircraft's job never looks like a real one's
    auto job = engine_->write_new(*profile, *bytes, as_it_may, person.toStdString());
    if (!job) {
        emit problem(job.error()); // the job at hand keeps its line and its person
        return;
    }
    drop_history();
    drop_link();
    person_ = person.toStdString();
    opened_here_.insert(job->job);
    engine_->enter_new(std::move(*job), person_);
    engine_->look_back([this](const std::string& sha) { return profile_for(sha); });
    make_link();
    if (!opening.given.empty()) tell_from_shop();
    publish_rows();
    publish();
}

void DeskWorker::open_job(const QString& job)
{
    if (barred()) return;
    auto stored = engine_->read_stored(job.toStdString(), [this](const std::string& sha) { return profile_for(sha); });
    if (!stored) {
        emit problem(stored.error()); // the job at hand keeps its line
        return;
    }
    const bool own_line = line_is_its_own(*stored);
    opened_here_.insert(stored->job);
    drop_history();
    drop_link();
    engine_->open_stored(std::move(*stored));
    engine_->set_person(person_);
    engine_->look_back([this](const std::string& sha) { return profile_for(sha); });
    make_link();
    // A line that was open when the app went away is opened again; what it says then vouches for the waits.
    if (own_line) QMetaObject::invokeMethod(link_, [w = link_, port = port_] { w->open(port); });
    publish();
}

/// Whether the port leads to this job's aircraft, as far as the journal can tell: this device's line was open there last, and since then
/// neither was another job at hand nor the machine started, which gives ports their names anew. Else a person opens the line.
bool DeskWorker::line_is_its_own(const Engine::Stored& stored)
{
    const journal::Entry* last = nullptr;
    std::string port;
    for (const auto& e : stored.entries) {
        if (!e.envelope.kind.starts_with("live.link_")) continue;
        last = &e;
        if (e.envelope.author != engine_->store().author()) port.clear();
        else if (e.body.has("port")) port = e.body["port"].as_text();
    }
    if (!last || last->envelope.kind == "live.link_closed" || last->envelope.boot != clock_.now().boot) return false;
    if (last->envelope.author != engine_->store().author() || port.empty() || port != port_.toStdString()) return false;
    const bool at_hand = engine_->has_job() && engine_->state().job == stored.job;
    if (at_hand && live_ && live_->link != watch::LinkState::closed) return true;
    if (std::ranges::any_of(opened_here_, [&](const std::string& job) { return job != stored.job; })) return false;
    const auto since = engine_->store().chain(last->envelope.author, last->envelope.seq + 1, std::numeric_limits<std::int64_t>::max());
    return since && std::ranges::all_of(*since, [&](const journal::Entry& e) { return e.envelope.job == stored.job; });
}

void DeskWorker::set_port(const QString& port)
{
    port_ = port;
}

void DeskWorker::set_person(const QString& person)
{
    person_ = person.toStdString();
    if (engine_) engine_->set_person(person_);
}

/// What is signed is what stands on the screen: the entry as it goes to the aircraft's papers.
bool DeskWorker::sign(job::Command& command)
{
    if (command.person.empty()) command.person = engine_->person();
    const bool known = people_.find(command.person).has_value();
    auto done = with_signature(people_, command, engine_->state().job, engine_->view().entry_text);
    if (!known) tell_people();
    if (!done) {
        emit problem(done.error());
        return false;
    }
    // Who signs here may also open what is kept here; from the first one on a start asks for a PIN.
    if (!known) {
        if (auto ok = engine_->store().add_holder(done->args["key"].as_text()); !ok) emit problem(ok.error());
        tell_lock();
    }
    command = std::move(*done);
    return true;
}

bool DeskWorker::write(job::Command command, const std::string& prompt_id)
{
    const bool own_key = command.kind == "sign" || (command.kind == "void" && command.args["meaning"].as_text() == job::withdrawn);
    if (own_key && !sign(command)) return false;
    if (command.kind == "photo")
        if (auto ok = attach_picture(disk_, engine_->store(), command); !ok) {
            emit problem(ok.error());
            return false;
        }
    if (auto ok = engine_->submit(command); !ok) {
        emit problem(ok.error());
        return false;
    }
    // A second tap on the same key comes with the same prompt: what is carried out already is no prompt of before.
    if (!prompt_id.empty()) answered_ = command.prompt.empty() ? prompt_id : command.prompt;
    if (shown_.id == prompt_id) shown_ = {};
    if (before_.id == prompt_id) before_ = {};
    engine_->answer_automatically();
    if (shop_) shop_->entries_written();
    publish();
    if (!prompt_id.empty()) emit saved(QString::fromStdString(prompt_id));
    return true;
}

/// A command that answers a prompt (by its id; else of the same kind, with the prompt's own arguments in it) is that prompt's press.
bool DeskWorker::answers(const job::Prompt& q, const job::Command& command) const
{
    if (!command.prompt.empty()) return q.id == command.prompt;
    if (q.command.empty() || q.command != command.kind) return false;
    for (const auto& [key, value] : q.args.as_object())
        if (!(command.args[key] == value)) return false;
    return true;
}

bool DeskWorker::told_by_line(const job::Command& command)
{
    const std::string verb = command.args["verb"].as_text();
    return command.kind == "did" && (verb == "read" || verb == "link" || verb == "session" || verb == "waited");
}

void DeskWorker::submit(const job::Command& command)
{
    if (barred() || !engine_->has_job()) return;
    const job::JobView v = engine_->view();
    const job::Prompt* asked = answers(v.next, command) ? &v.next : nullptr;
    for (const auto& other : v.others)
        if (!asked && answers(other, command)) asked = &other;
    if (!asked) {
        // A double tap: the prompt that it answers is carried out already, and the next may look the same (a swing's points).
        if (!command.prompt.empty() && command.prompt == answered_) return;
        // What it indicated belonged to the prompt that is gone; what the line was to say, nobody has heard.
        if (command.kind == "swing_point" || (!command.prompt.empty() && told_by_line(command))) {
            emit problem(Problem{"prompt_changed", command.prompt, {{"now", v.next.id}}});
            return;
        }
        write(command, command.prompt.empty() ? command.id : command.prompt);
        return;
    }
    if (by_line(*asked)) begin(*asked, {}, json::Object{{"person", command.person}});
    else finish(*asked, command);
}

void DeskWorker::press(const QString& prompt_id, const QString& answer, const json::Value& extra)
{
    if (barred() || !engine_->has_job()) return;
    const job::JobView v = engine_->view();
    const std::string wanted = prompt_id.toStdString();
    if (v.next.id == wanted || wanted.empty()) {
        begin(v.next, answer.toStdString(), extra);
        return;
    }
    for (const auto& other : v.others)
        if (other.id == wanted) {
            begin(other, answer.toStdString(), extra);
            return;
        }
    // What hands did at the prompt before is a fact, though the next one stands already.
    if (before_.id == wanted && before_.command == "did" && !by_line(before_) && before_.verb != "waited") {
        const job::Prompt late = before_; // writing forgets it
        begin(late, answer.toStdString(), extra);
        return;
    }
    emit problem(Problem{"prompt_changed", wanted, {{"now", v.next.id}}});
}

void DeskWorker::begin(const job::Prompt& q, const std::string& answer, const json::Value& extra)
{
    if (!q.ready) {
        emit problem(Problem{"need", q.id, {{"what", q.missing}}});
        return;
    }
    if (by_line(q)) {
        if (watch_ && pending_ && pending_->prompt.id == q.id) return end_by_hand();
        // What waits for a line that is gone would wait for ever; a watch that comes to nothing is left for another question.
        if (pending_ && (watch_ || (q.verb == "link" && pending_->verb != "link"))) forget_pending();
        if (!pending_) return carry_out(q, extra);
        if (pending_->prompt.id != q.id) emit problem(Problem{"line_answers", q.id, {}});
        return;
    }
    job::Command command = job::command_of(q, answer, extra);
    command.person = extra["person"].as_text();
    command.pin = extra["pin"].as_text();
    finish(q, std::move(command));
}

/// What the record needs beside the answer: a fit, or the heading word of this moment.
void DeskWorker::finish(const job::Prompt& q, job::Command command)
{
    if (!q.ready) {
        emit problem(Problem{"need", q.id, {{"what", q.missing}}});
        return;
    }
    if (watch_ && pending_ && q.command == "did") forget_pending(); // hands at the aircraft: what drops out now is their doing
    if (q.verb == "compute") {
        auto fit = job::swing_result_command(engine_->profile(), engine_->state());
        if (!fit) {
            emit problem(fit.error());
            return;
        }
        const std::string id = command.id;
        command = *fit;
        command.id = id;
    }
    if (q.command == "swing_point" && !command.args.has("indicated")) {
        const std::string word = engine_->profile().installation.swing ? engine_->profile().installation.swing->word : "word:heading";
        const auto value = live_ ? live_->value(signal_of(word)) : std::nullopt;
        if (!value) {
            emit problem(Problem{"need", q.id, {{"what", "a valid heading word"}}});
            return;
        }
        command.args.at("indicated") = fixed_text(*value, 2);
    }
    write(command, q.id);
}

void DeskWorker::forget_pending()
{
    if (pending_ && pending_->verb == "flex" && link_) QMetaObject::invokeMethod(link_, &LinkWorker::stop_flex);
    pending_.reset();
    watch_.reset();
}

void DeskWorker::carry_out(const job::Prompt& q, const json::Value& extra)
{
    if (q.verb == "link" && port_.isEmpty()) {
        emit problem(Problem{"port_not_chosen", q.id, {}});
        return;
    }
    pending_ = Pending{q, q.verb, clock_.now().mono_ms, extra["person"].as_text(), answer_of(q)};
    const QString label = QString::fromStdString(q.args["of"].as_text());
    if (q.verb == "link") QMetaObject::invokeMethod(link_, [w = link_, port = port_] { w->open(port); });
    if (q.verb == "session" && q.to == "closed") QMetaObject::invokeMethod(link_, &LinkWorker::leave_session);
    if (q.verb == "session" && q.to != "closed") QMetaObject::invokeMethod(link_, [w = link_, label] { w->enter_session(label); });
    if (q.verb == "request") {
        const QString tag = QString::fromStdString(q.id);
        QMetaObject::invokeMethod(link_, [w = link_, label, tag] { w->request(label, {}, tag); });
    }
    if (q.verb != "watch" && q.verb != "flex") return;
    const auto* check = profile::find(engine_->profile().installation.checks, q.args["check"].as_text());
    if (!check || !live_) {
        pending_.reset();
        emit problem(Problem{"need", q.id, {{"what", "link good"}}});
        return;
    }
    watch_.emplace(*check, *live_);
    if (q.verb == "flex") QMetaObject::invokeMethod(link_, &LinkWorker::start_flex);
    publish();
}

void DeskWorker::take_check(const QString& check)
{
    if (barred() || !engine_->has_job()) return;
    if (watch_ && pending_ && pending_->prompt.args["check"].as_text() != check.toStdString()) forget_pending();
    engine_->take(check.toStdString());
    publish();
}

void DeskWorker::flex_mark(const QString& place)
{
    if (pending_) pending_->too_little = false; // more was moved since
    if (link_) QMetaObject::invokeMethod(link_, [w = link_, place] { w->mark(place); });
}

std::string DeskWorker::answer_of(const job::Prompt& q) const
{
    const job::Answer* a = engine_->state().answer(q.args["check"].as_text());
    return a ? a->stamp.hash : std::string();
}

/// What was seen so far is judged. Where that is too little the watch goes on, so that a slip of the hand costs no minutes; the next press
/// leaves it, and nothing is written.
void DeskWorker::end_by_hand()
{
    if (!live_ || pending_->too_little) {
        forget_pending();
        return publish();
    }
    const bool runs = pending_->verb != "flex" || live_->flex.running;
    if (!runs || watch_->judge(*live_)) return end_watch();
    pending_->too_little = true;
    emit problem(Problem{"too_little_seen", pending_->prompt.id, {}});
    publish();
}

/// What the unit tells by itself answers the check while it is watched for.
void DeskWorker::leave_answered_watch()
{
    if (watch_ && pending_ && answer_of(pending_->prompt) != pending_->answer_before) forget_pending();
}

/// The key of what is carried out now: a watch can be ended, anything else waits for the line.
void DeskWorker::tell_running(job::Prompt& q) const
{
    if (!pending_ || q.id != pending_->prompt.id) return;
    if (!watch_) {
        q.ready = false;
        q.missing = "the line answers";
        q.key_small = "Waits: " + q.missing;
        return;
    }
    const bool flex = pending_->verb == "flex";
    q.to = "running";
    q.key_small = flex ? "Running. Mark each place, then" : "Watching, " + std::to_string(static_cast<int>(watch_->left_s())) + " s left";
    q.key_large = flex ? "End the flex test" : "End the watch";
    if (!pending_->too_little) return;
    q.key_small = flex ? "Too little moved to judge" : "Too little seen to judge";
    q.key_large = "Leave it, nothing proved";
}

void DeskWorker::end_watch()
{
    if (!watch_ || !live_ || !pending_) return;
    const auto result = watch_->judge(*live_);
    const job::Prompt q = pending_->prompt;
    const std::string person = pending_->person;
    forget_pending();
    if (!result) {
        emit problem(Problem{"too_little_seen", q.id, {}});
        publish();
        return;
    }
    job::Command command = job::command_of(q, result->outcome);
    command.person = person;
    if (!result->number.empty()) command.args.at("number") = result->number;
    if (!result->note.empty()) command.args.at("counted") = result->note;
    write(command, q.id);
}

void DeskWorker::pending_done(const json::Value& extra)
{
    const job::Prompt q = pending_->prompt;
    job::Command command = job::command_of(q, "", extra);
    command.person = pending_->person;
    pending_.reset();
    write(std::move(command), q.id);
}

void DeskWorker::look_at_pending()
{
    if (!pending_ || !live_) return;
    if (pending_->verb == "link" && live_->link == watch::LinkState::good) pending_done();
    else if (pending_->verb == "session") {
        const bool open = live_->session.state == watch::SessionState::open, closing = pending_->prompt.to == "closed";
        if (open != closing && live_->session.state != watch::SessionState::closing && live_->session.state != watch::SessionState::opening
            && (open || closing)) pending_done();
        else if (live_->session.state == watch::SessionState::refused && !closing) {
            const Problem refused = session_problem(pending_->prompt.id, live_->session.reason, live_->session.mend);
            pending_.reset();
            emit problem(refused);
        }
    }
    else if (watch_) {
        watch_->see(*live_);
        if (watch_->over()) end_watch();
    }
}

void DeskWorker::on_answered(const QString& tag, const json::Value& outcome)
{
    if (!pending_ || pending_->verb != "request" || tag.toStdString() != pending_->prompt.id) return;
    if (outcome["result"].as_text() == "ok") {
        pending_done();
        return;
    }
    const Problem bad = request_problem(pending_->prompt.id, outcome);
    pending_.reset();
    emit problem(bad);
}

void DeskWorker::on_snapshot(std::shared_ptr<const watch::LiveSnapshot> snapshot)
{
    live_ = std::move(snapshot);
    emit live_changed(live_);
    if (!engine_ || !engine_->has_job()) return;
    engine_->set_live(facts_of(engine_->profile(), *live_));
    look_at_pending();
    dirty_ = true;
}

void DeskWorker::on_noted(const watch::Noted& note)
{
    if (!engine_ || !engine_->has_job()) return;
    job::Command command;
    command.kind = "live";
    command.args = json::Value(json::Object{});
    command.args.at("kind") = note.kind;
    command.args.at("body") = note.body.is_object() ? note.body : json::Value(json::Object{});
    if (auto ok = engine_->submit(command); !ok) emit problem(ok.error());
    engine_->answer_automatically();
    leave_answered_watch();
    if (shop_) shop_->entries_written();
    publish();
}

void DeskWorker::tick()
{
    const std::int64_t now = clock_.now().mono_ms;
    if (engine_ && !pending_ && now >= look_from_ms_) {
        if (look_) look_on();
        else if (!stale_.empty() && !engine_->store().locked()) freshen();
    }
    if (!engine_ || !engine_->has_job()) return;
    if (pending_ && !watch_ && now - pending_->since_ms > line_patience_ms) {
        const Problem late{"no_answer", pending_->prompt.id, {{"what", pending_->prompt.say}}};
        pending_.reset();
        emit problem(late);
    }
    if (now - last_publish_ms_ >= (dirty_ ? publish_ms : 1000)) publish();
}

void DeskWorker::publish()
{
    if (!engine_ || !engine_->has_job()) return;
    dirty_ = false;
    last_publish_ms_ = clock_.now().mono_ms;
    auto v = std::make_shared<job::JobView>(engine_->view());
    tell_running(v->next);
    for (auto& other : v->others) tell_running(other);
    if (const std::string stage = job::name_of(v->stage); stage != last_stage_) {
        last_stage_ = stage;
        if (link_) {
            const link::Permission may{engine_->state().cautions_read, stage == "put_right", signed_or_practice_};
            QMetaObject::invokeMethod(link_, [w = link_, may] { w->set_permission(may); });
        }
    }
    if (v->next.id != shown_.id) before_ = std::exchange(shown_, v->next);
    emit view_changed(v);
}

void DeskWorker::make_link()
{
    const auto plan = codec::Plan::compile(engine_->profile().unit);
    if (!plan) {
        emit problem(plan.error());
        return;
    }
    auto sealing = engine_->store().sealing_disk(disk_);
    if (!sealing) {
        emit problem(sealing.error());
        return;
    }
    capture_disk_ = std::move(*sealing);
    LinkOptions o;
    o.plan = *plan;
    o.disk = capture_disk_.get();
    o.capture_folder = options_.data_folder + "/captures/" + engine_->state().job;
    o.time_scale = static_cast<double>(engine_->state().scale_milli) / 1000.0;
    signed_or_practice_ = engine_->state().practice || profile_is_signed();
    o.permission = {engine_->state().cautions_read, false, signed_or_practice_};
    link_ = new LinkWorker(o);
    link_thread_ = std::make_unique<QThread>();
    link_thread_->setObjectName("link");
    link_->moveToThread(link_thread_.get());
    inbox_ = std::make_unique<QObject>();
    connect(link_, &LinkWorker::snapshot, inbox_.get(), [this](const std::shared_ptr<const watch::LiveSnapshot>& now) { on_snapshot(now); });
    connect(link_, &LinkWorker::noted, inbox_.get(), [this](const watch::Noted& note) { on_noted(note); });
    connect(link_, &LinkWorker::answered, inbox_.get(), [this](const QString& tag, const json::Value& outcome) { on_answered(tag, outcome); });
    connect(link_, &LinkWorker::problem, inbox_.get(), [this](const Problem& what) {
        if (pending_ && (pending_->verb == "link" || pending_->verb == "session")) pending_.reset();
        emit problem(what);
    });
    connect(link_thread_.get(), &QThread::finished, link_, &QObject::deleteLater);
    link_thread_->start();
}

void DeskWorker::drop_link()
{
    if (!link_thread_) return;
    forget_pending();
    QMetaObject::invokeMethod(link_, &LinkWorker::stop, Qt::BlockingQueuedConnection);
    QCoreApplication::sendPostedEvents(inbox_.get(), QEvent::MetaCall); // what it said last belongs to the job that is still at hand
    inbox_.reset();
    link_thread_->quit();
    link_thread_->wait(3000);
    link_thread_.reset();
    link_ = nullptr;
    live_.reset();
}

void DeskWorker::stop()
{
    timer_.reset();
    if (check_thread_) check_thread_->wait();
    drop_history();
    drop_link();
    shop_.reset();
    engine_.reset();
}

} // namespace chockside::desk
