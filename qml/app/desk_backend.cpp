#include "desk_backend.h"
#include "desk_rows.h"
#include "home_rows.h"

#include <platform/desk/eyes.h>
#include <platform/desk/hands.h>
#include <platform/serial/port_list.h>
#include <platform/system/system.h>
#include <platform/words/words.h>

#include <QCoreApplication>
#include <QDateTime>
#include <QDir>
#include <QFile>
#include <QSaveFile>
#include <QStandardPaths>

#include <algorithm>
#include <utility>

namespace chockside::app {

DeskBackend::DeskBackend(const BackendOptions& options)
    : options_(options), desk_({options.data.toStdString(), system::assets_folder(), "sandgrouse_12_ramp"})
{
    port_ = options.port;
    connect(&desk_, &desk::Desk::view_changed, this, &DeskBackend::take_view);
    connect(&desk_, &desk::Desk::live_changed, this, &DeskBackend::take_live);
    connect(&desk_, &desk::Desk::rows, this, &DeskBackend::take_rows);
    connect(&desk_, &desk::Desk::problem, this, &DeskBackend::take_problem);
    connect(&desk_, &desk::Desk::saved, this, &DeskBackend::couple);
    connect(&desk_, &desk::Desk::saved, this, &DeskBackend::written);
    connect(&desk_, &desk::Desk::counted, this, [this](qint64 jobs) { emit jobsCounted(static_cast<int>(jobs)); });
    connect(&desk_, &desk::Desk::people, this, [this](const std::vector<people::Person>& people) {
        std::vector<models::Signer> signers;
        for (const auto& p : people) signers.push_back({QString::fromStdString(p.id), QString::fromStdString(p.name), QString::fromStdString(p.certificate_kind), QString::fromStdString(p.certificate_number)});
        emit peopleChanged(signers);
    });
    connect(&desk_, &desk::Desk::key_kept, this, &DeskBackend::keyKept);
    connect(&desk_, &desk::Desk::queue, this, [this](const sync::QueueView& q, const QString& shop) {
        unsent_ = static_cast<int>(q.entries - q.at_shop);
        emit queueChanged(queue_seen(q, shop));
        tell_station();
    });
    connect(&desk_, &desk::Desk::profiles, this, [this](const std::vector<desk::ProfileAtHand>& all) {
        std::vector<models::ProfileChoice> choices;
        for (const auto& p : all) choices.push_back({p.name, p.title, p.aircraft_type, p.unit, p.wrong, p.revision, p.practice, p.published, p.complaints});
        emit profilesChanged(choices);
    });
    connect(&desk_, &desk::Desk::from_shop, this, &DeskBackend::take_from_shop);
    connect(&desk_, &desk::Desk::port_checked, this, [this](const desk::PortChecked& c) {
        models::PortSeen seen{c.port, {}, c.bytes, c.frames, c.part};
        for (const auto& step : c.steps) {
            const bool gap = step.state == link::PortStep::State::gap;
            const auto said = gap ? words::of(step.seen) : words::Words{};
            seen.steps.push_back({step.id, gap ? job::Mark::attention : step.state == link::PortStep::State::good ? job::Mark::good : job::Mark::none, QString::fromStdString(said.message), QString::fromStdString(said.mend), step.minutes});
        }
        emit portChecked(seen);
    });
    connect(&desk_, &desk::Desk::carried, this, [this](const desk::Carrying& c) { emit carried({c.file, c.first, c.last, c.upto, c.symbols}); });
    connect(&desk_, &desk::Desk::taken_back, this, &DeskBackend::takenBack);
    connect(&desk_, &desk::Desk::history, this, &DeskBackend::historyChanged);
    connect(&desk_, &desk::Desk::history_saved, this, &DeskBackend::historySaved);
    connect(&desk_, &desk::Desk::locked, this, &DeskBackend::lockChanged);
    connect(&desk_, &desk::Desk::here, this, &DeskBackend::personCame);
    connect(&desk_, &desk::Desk::exported, this, [this](const QString& pdf, const QString& journal) {
        emit bannerChanged("advice", "Report and journal are written.", pdf + "\n" + journal, {});
    });
    minute_.setInterval(60'000);
    connect(&minute_, &QTimer::timeout, this, [this] { if (!rows_.empty()) tell_rows(); });
    minute_.start();
    connect(&practice_, &desk::PracticeDriver::ready, this, &DeskBackend::practice_ready);
    connect(&practice_, &desk::PracticeDriver::failed, this, &DeskBackend::practice_failed);
}

DeskBackend::~DeskBackend() = default;

void DeskBackend::start()
{
    tell_station();
    if (!options_.port.isEmpty()) desk_.set_port(options_.port);
    desk_.set_person(person_);
    desk_.start();
}

void DeskBackend::submit(const job::Command& command)
{
    if (view_) asked_ = view_->next;
    returning_ = false;
    desk_.submit(command);
}

/// "Follow my taps": what is recorded as done is done in the practice world, unless the coupling is off.
void DeskBackend::couple(const QString& prompt)
{
    if (!aircraft_ || !options_.coupled || asked_.id != prompt.toStdString()) return;
    if (const auto move = desk::hand_for(asked_)) practice_.ask(*move);
}

void DeskBackend::start_practice(std::uint64_t seed, double scale)
{
    scale_ = scale;
    new_job_ = true;
    aircraft_ = true;
    QFile::remove(standing_file());
    const QString program = QCoreApplication::applicationDirPath() + "/chockside-cli";
    const QString profile = QString::fromStdString(system::assets_folder()) + "/profiles/sandgrouse_12_ramp.json";
    practice_.start(program, profile, QDir(options_.data).absolutePath(), seed, options_.fault, scale);
}

/// Which job's aircraft stands there, kept beside its socket: an app that was killed finds the right one again.
QString DeskBackend::standing_file() const
{
    return QDir(options_.data).absoluteFilePath("practice.job");
}

QString DeskBackend::standing_job() const
{
    QFile file(standing_file());
    return file.open(QIODevice::ReadOnly) ? QString::fromUtf8(file.read(200)) : QString();
}

void DeskBackend::practice_ready(const json::Value& ready)
{
    practice_port_ = QString::fromStdString(ready["pty"].as_text());
    desk_.set_port(practice_port_);
    offer_hands();
    if (!returning_to_.isEmpty()) return desk_.open_job(std::exchange(returning_to_, {}));
    if (!std::exchange(new_job_, false)) return;
    new_standing_ = true;
    before_new_ = last_job_;
    json::Value ask(json::Object{});
    ask.at("eye") = "writeup";
    practice_.ask(ask, [this](const json::Value& writeup) {
        job::Opening opening;
        opening.tail = writeup["tail"].as_text();
        opening.complaint = writeup["complaint"].as_text();
        opening.complaint_kind = writeup["kind"].as_text();
        opening.practice = true;
        opening.scale_milli = static_cast<std::int64_t>(scale_ * 1000);
        opening.departure_utc_ms = QDateTime::currentMSecsSinceEpoch() + 5 * 3600 * 1000;
        opening.decide_utc_ms = opening.departure_utc_ms - 90 * 60 * 1000;
        desk_.open_new(opening, person_);
    });
}

void DeskBackend::practice_failed(const QString& why)
{
    // Its journal can still be read; nothing on that aircraft can be seen or done any more.
    if (!returning_to_.isEmpty()) {
        desk_.open_job(std::exchange(returning_to_, {}));
        emit bannerChanged("attention", "The practice aircraft of this job is gone.", "The journal stands as it was left. To work on, start a new practice job.", {});
        return;
    }
    emit refused("The practice aircraft: " + why);
}

void DeskBackend::offer_hands()
{
    std::vector<json::Value> hands;
    for (const char* text : {R"({"hand":"power","to":"off"})", R"({"hand":"power","to":"on"})", R"({"hand":"breaker","label":"REF 1","to":"in"})", R"({"hand":"breaker","label":"REF 1","to":"pulled"})",
             R"({"hand":"cable","to":"J5A"})", R"({"hand":"flex","place":"P9","gain":1,"seconds":20})", R"({"hand":"flex","place":"W7","gain":1,"seconds":20})", R"({"hand":"flex","place":"J1","gain":1,"seconds":20})",
             R"({"hand":"load","what":"PITOT HT","to":"on"})", R"({"hand":"load","what":"PITOT HT","to":"off"})", R"({"hand":"move","metres":50})"})
        if (auto move = json::read(text)) hands.push_back(*move);
    emit handsChanged(hands, options_.coupled);
}

/// A practice job goes on beside its own aircraft, if that still stands, and beside no other; a real job never on a practice line, a practice
/// job never on a real one but where the program was started with a port for it.
void DeskBackend::open_job(const QString& job)
{
    returning_ = true;
    opened_ = job.toStdString();
    left_.reset();
    const auto row = std::find_if(rows_.begin(), rows_.end(), [&](const auto& r) { return r.job == job.toStdString(); });
    const bool practice = row != rows_.end() && row->practice, open = practice && row->status != "closed";
    const bool own = open && standing_job() == job;
    aircraft_ = own;
    desk_.set_port(!practice ? port_ : own && practice_.running() ? practice_port_ : options_.port);
    if (!open || !options_.port.isEmpty() || (own && practice_.running())) return desk_.open_job(job);
    returning_to_ = job;
    if (own) practice_.attach(QDir(options_.data).absolutePath());
    else practice_failed({});
}

void DeskBackend::list_new()
{
    desk_.list_profiles();
    std::vector<models::PortChoice> ports;
    for (const auto& p : serial::ports()) ports.push_back({p.path.toStdString(), (p.adapter.isEmpty() ? p.name : p.name + ", " + p.adapter).toStdString()});
    emit portsChanged(ports);
}

QString DeskBackend::own_profiles() const
{
    return QDir(options_.data).absoluteFilePath("profiles");
}

/// Where cameras and screens put them on this system, and one folder deeper, as by day or device.
void DeskBackend::list_pictures()
{
    constexpr int most = 12;
    const QDir folder(QStandardPaths::writableLocation(QStandardPaths::PicturesLocation));
    QFileInfoList found;
    const auto look = [&](const QDir& in) { found += in.entryInfoList({"*.jpg", "*.jpeg", "*.png"}, QDir::Files | QDir::Readable); };
    look(folder);
    for (const QString& below : folder.entryList(QDir::Dirs | QDir::NoDotAndDotDot)) look(QDir(folder.filePath(below)));
    std::sort(found.begin(), found.end(), [](const QFileInfo& a, const QFileInfo& b) { return a.lastModified() > b.lastModified(); });
    std::vector<models::PictureSeen> pictures;
    for (const QFileInfo& f : found.mid(0, most)) pictures.push_back({f.absoluteFilePath(), f.fileName(), f.lastModified().toMSecsSinceEpoch()});
    emit picturesChanged(pictures);
}

void DeskBackend::use_port(const QString& path)
{
    port_ = path;
    desk_.set_port(path);
}

void DeskBackend::open_new(const models::NewJob& job)
{
    aircraft_ = returning_ = false;
    left_.reset();
    use_port(QString::fromStdString(job.port));
    job::Opening opening;
    opening.tail = job.tail;
    opening.complaint = job.complaint;
    opening.complaint_kind = job.complaint_kind;
    opening.power = job.power;
    opening.given = job.given;
    opening.departure_utc_ms = job.departure_utc_ms;
    // An hour and a half before it leaves it is to be known whether it will.
    if (job.departure_utc_ms > 0) opening.decide_utc_ms = std::max<std::int64_t>(QDateTime::currentMSecsSinceEpoch(), job.departure_utc_ms - 90 * 60 * 1000);
    desk_.open_new(opening, person_, QString::fromStdString(job.profile));
}

void DeskBackend::leave_job()
{
    view_.reset();
    emit bannerChanged({}, {}, {}, {});
    if (tampered_) take_problem(*tampered_);
    desk_.list();
}

void DeskBackend::lock(bool idle)
{
    desk_.lock(idle);
}

void DeskBackend::unlock(const QString& person, const QString& pin)
{
    desk_.unlock(person, pin);
}

void DeskBackend::hand(const json::Value& move)
{
    practice_.ask(move, [this](const json::Value&) { eyes(); });
}

void DeskBackend::eyes()
{
    // First what the present question wants seen, then everything that is in view.
    auto answer = std::make_shared<json::Value>();
    if (const auto asked = view_ ? desk::eye_for(view_->next) : std::nullopt) practice_.ask(*asked, [answer](const json::Value& seen) { *answer = seen; });
    json::Value ask(json::Object{});
    ask.at("eye") = "all";
    practice_.ask(ask, [this, answer](const json::Value& all) {
        json::Value seen(json::Object{});
        if (answer->is_object()) seen.at("Asked now") = *answer;
        for (const auto& [what, is] : all.as_object()) seen.at(what) = is;
        emit seenChanged(seen);
    });
}

void DeskBackend::set_person(const QString& initials)
{
    person_ = initials;
    desk_.set_person(initials);
    tell_station();
}

void DeskBackend::take_view(std::shared_ptr<const job::JobView> view)
{
    view_ = std::move(view);
    last_job_ = view_->job;
    emit viewChanged(*view_);
    keep_standing();
    // Told again until the line is heard, since only the unit knows what became of its power.
    if (!returning_ || view_->closed || view_->job != opened_) return;
    AwayNote note = away_note(*view_);
    if (!left_) left_ = AwayNote{note.minutes, {}, last_steps(*view_)};
    note.minutes = left_->minutes;
    note.steps = left_->steps;
    emit away(note);
    returning_ = !view_->closed && !view_->link_good;
}

/// The first view of a new practice job tells whose aircraft stands there.
void DeskBackend::keep_standing()
{
    if (!new_standing_ || !view_->practice || view_->job == before_new_) return;
    new_standing_ = false;
    QSaveFile file(standing_file());
    if (file.open(QIODevice::WriteOnly) && file.write(QByteArray::fromStdString(view_->job)) > 0) file.commit();
}

void DeskBackend::take_live(std::shared_ptr<const watch::LiveSnapshot> live)
{
    const bool lost = live->link == watch::LinkState::lost;
    if (lost && !lost_) emit bannerChanged("attention", "Link lost", "What was seen is kept. The port is tried again.", {"Look at the adapter and the plug"});
    else if (!lost && lost_) emit bannerChanged({}, {}, {}, {});
    lost_ = lost;
    emit flexChanged(flex_of(live->flex));
    emit liveChanged(frame_of(*live));
}

void DeskBackend::take_rows(const std::vector<journal::JobRow>& rows)
{
    rows_ = rows;
    tell_rows();
    tell_station();
}

void DeskBackend::tell_rows()
{
    emit homeChanged(home_rows(rows_, QDateTime::currentMSecsSinceEpoch()));
}

/// What is new since the start and about the job at hand stands over it too.
void DeskBackend::take_from_shop(const desk::FromShop& what)
{
    constexpr std::size_t words_shown = 3;
    std::vector<models::ShopItem> items;
    for (const auto& w : what.write_ups)
        if (!w.opened) items.push_back({true, w.job, w.tail, w.title, w.text, w.by, w.utc_ms});
    for (std::size_t i = 0; i < std::min(words_shown, what.words.size()); ++i) {
        const auto& w = what.words[i];
        items.push_back({false, w.job, w.tail, {}, w.text, w.by, w.utc_ms});
    }
    emit fromShopChanged(items);
    for (const auto& w : what.words) {
        const bool fresh = told_words_.insert(w.job + "/" + std::to_string(w.utc_ms)).second && words_known_;
        if (fresh && view_ && view_->job == w.job) emit bannerChanged("advice", "The shop writes", QString::fromStdString(w.by + ": " + w.text), {});
    }
    words_known_ = true;
}

void DeskBackend::tell_station()
{
    emit stationChanged("This tablet", person_.isEmpty() ? QString("No initials: set them") : person_ + " signed in", unsent_);
}

void DeskBackend::take_problem(const Problem& what)
{
    const QString says = QString::fromStdString(words::line(what));
    if (what.code == "disk_full") emit bannerChanged("stop", "The tablet is full", says, {"Free some room", "Then go on: nothing that was shown as saved is lost"});
    if (what.code == "not_verified") tampered_ = what;
    if (what.code == "not_verified") emit bannerChanged("stop", "The journal was changed from outside", says, {"Write nothing more here", "Export the jobs that still verify", "Tell the shop"});
    if (what.code == "copied" || what.code == "restored") return emit bannerChanged("attention", "Another name for this tablet", says, {});
    emit refused(says);
}

void DeskBackend::write_report()
{
    const QString folder = QDir(options_.data).absoluteFilePath("reports");
    QDir().mkpath(folder);
    desk_.export_to(folder);
}

// Files to and from the shop lie in one folder, which a person takes to the reader on a stick or by a cable.
void DeskBackend::carry() { desk_.carry(QDir(options_.data).absoluteFilePath("exchange")); }
void DeskBackend::take_back() { desk_.take_back(QDir(options_.data).absoluteFilePath("exchange")); }

void DeskBackend::save_history()
{
    desk_.save_history(QDir(options_.data).absoluteFilePath("reports"));
}

void DeskBackend::flex_mark(const QString& place)
{
    desk_.flex_mark(place);
}

} // namespace chockside::app
