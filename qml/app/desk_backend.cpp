#include "desk_backend.h"

#include <platform/desk/hands.h>
#include <platform/system/system.h>
#if __has_include(<platform/words/words.h>)
#include <platform/words/words.h>
#endif

#include <QCoreApplication>
#include <QDateTime>
#include <QDir>

#include <cmath>

namespace chockside::app {

namespace {

QString words_for(const Problem& p)
{
    const auto arg = [&](const char* key) {
        for (const auto& [name, value] : p.args)
            if (name == key) return QString::fromStdString(value);
        return QString();
    };
    if (p.code == "plug_fed") return arg("of") + " is still fed: pull " + arg("breakers") + " first.";
    if (p.code == "not_dead") return arg("of") + " is not proved dead: measure " + arg("points") + ".";
    if (p.code == "plug_open") return "Plug " + arg("plug") + " is off: " + arg("of") + " stays out.";
    if (p.code == "cover_on") return arg("cover") + " still on: " + arg("of") + " stays out.";
    if (p.code == "tripped_is_evidence") return arg("of") + " tripped by itself. Find why first.";
    if (p.code == "need") return "First: " + arg("what") + ".";
    if (p.code == "open_items") return "Still open: " + arg("list") + ".";
    if (p.code == "owed_open") return "Still owed: " + arg("list") + ".";
    if (p.code == "unsigned") return "Not signed yet: " + arg("meaning") + ".";
    if (p.code == "second_person") return "Another person must look: not " + arg("who") + ".";
    if (p.code == "session_refused") return "The unit refuses: " + arg("reason") + ".";
    if (p.code == "no_answer") return "No answer from the line. Try the port check.";
    if (p.code == "port_not_found") return "No such port. Is the adapter plugged in?";
    if (p.code == "port_no_permission") return "The port is there, but this user may not open it.";
    if (p.code == "port_busy") return "Another program holds the port.";
    if (p.code == "disk_full") return "The tablet is full. Nothing more is saved until there is room.";
    if (p.code == "locked") return "Another Chockside has these jobs open.";
    if (p.code == "too_little_seen") return "Too little was seen to judge. Move longer, or watch longer.";
    if (p.code == "prompt_changed") return "The next step has changed meanwhile.";
    return QString::fromStdString(p.code + (p.place.empty() ? "" : ": " + p.place));
}

models::LiveFrame frame_of(const watch::LiveSnapshot& s)
{
    models::LiveFrame frame;
    frame.mono_ms = s.t_ns / 1'000'000;
    for (const auto& row : s.rows) {
        const bool word = row.name.rfind("word.", 0) == 0, status = row.name.rfind("status.", 0) == 0;
        if ((!word && !status) || row.name == "status.uptime") continue;
        const auto dot = row.name.rfind('.');
        frame.values.push_back({row.name.substr(dot + 1), row.unit, std::isfinite(row.value) ? row.value : 0, row.boolean ? row.value != 0 : row.good(), row.boolean});
    }
    return frame;
}

std::string state_words(const journal::JobRow& row)
{
    return row.status == "closed" ? "closed" : "stands in " + std::string(job::title_of(job::stage_of(row.status).value_or(job::Stage::write_up)));
}

std::vector<job::StageCell> rail_of(const journal::JobRow& row)
{
    std::vector<job::StageCell> rail;
    const bool closed = row.status == "closed";
    const auto now = job::stage_of(row.status).value_or(job::Stage::write_up);
    for (int i = 0; i < job::stage_count; ++i) {
        job::StageCell cell;
        cell.stage = static_cast<job::Stage>(i);
        cell.here = !closed && cell.stage == now;
        cell.filled = closed || cell.stage < now ? 1 : 0;
        cell.line = cell.here ? job::StageCell::Line::here : cell.filled > 0 ? job::StageCell::Line::solid : job::StageCell::Line::hollow;
        rail.push_back(cell);
    }
    return rail;
}

} // namespace

DeskBackend::DeskBackend(const BackendOptions& options)
    : options_(options), desk_({options.data.toStdString(), system::assets_folder(), "sandgrouse_12_ramp"})
{
    connect(&desk_, &desk::Desk::view_changed, this, &DeskBackend::take_view);
    connect(&desk_, &desk::Desk::live_changed, this, &DeskBackend::take_live);
    connect(&desk_, &desk::Desk::rows, this, &DeskBackend::take_rows);
    connect(&desk_, &desk::Desk::problem, this, &DeskBackend::take_problem);
    connect(&desk_, &desk::Desk::saved, this, &DeskBackend::couple);
    connect(&practice_, &desk::PracticeDriver::ready, this, &DeskBackend::practice_ready);
    connect(&practice_, &desk::PracticeDriver::failed, this, [this](const QString& why) { emit refused("The practice aircraft: " + why); });
}

DeskBackend::~DeskBackend() = default;

void DeskBackend::start()
{
    emit stationChanged("This tablet", person_, 0);
    if (!options_.port.isEmpty()) desk_.set_port(options_.port);
    desk_.set_person(person_);
    desk_.start();
}

void DeskBackend::submit(const job::Command& command)
{
    if (view_) asked_ = view_->next;
    desk_.submit(command);
}

/// "Follow my taps": what is recorded as done is done in the practice world, unless the coupling is off.
void DeskBackend::couple(const QString& prompt)
{
    if (!coupled_ || asked_.id != prompt.toStdString()) return;
    if (const auto move = desk::hand_for(asked_)) practice_.ask(*move);
}

void DeskBackend::start_practice(std::uint64_t seed, double scale)
{
    scale_ = scale;
    new_job_ = true;
    const QString program = QCoreApplication::applicationDirPath() + "/chockside-cli";
    const QString profile = QString::fromStdString(system::assets_folder()) + "/profiles/sandgrouse_12_ramp.json";
    practice_.start(program, profile, QDir(options_.data).absolutePath(), seed, {}, scale);
}

void DeskBackend::practice_ready(const json::Value& ready)
{
    desk_.set_port(QString::fromStdString(ready["pty"].as_text()));
    if (!new_job_) return;
    new_job_ = false;
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
    json::Value moves = json::Value(json::Array{});
    std::vector<json::Value> hands;
    for (const char* text : {R"({"hand":"power","to":"off"})", R"({"hand":"power","to":"on"})", R"({"hand":"breaker","label":"REF 1","to":"in"})", R"({"hand":"breaker","label":"REF 1","to":"pulled"})",
             R"({"hand":"cable","to":"J5A"})", R"({"hand":"flex","place":"P9","gain":1,"seconds":20})", R"({"hand":"flex","place":"W7","gain":1,"seconds":20})", R"({"hand":"flex","place":"J1","gain":1,"seconds":20})",
             R"({"hand":"load","what":"PITOT HT","to":"on"})", R"({"hand":"load","what":"PITOT HT","to":"off"})", R"({"hand":"move","metres":50})"})
        if (auto move = json::read(text)) hands.push_back(*move);
    emit handsChanged(hands, coupled_);
}

void DeskBackend::open_job(const QString& job)
{
    desk_.open_job(job);
}

void DeskBackend::leave_job()
{
    view_.reset();
}

void DeskBackend::hand(const json::Value& move)
{
    practice_.ask(move, [this](const json::Value&) { eyes(); });
}

void DeskBackend::eyes()
{
    json::Value ask(json::Object{});
    ask.at("eye") = "all";
    practice_.ask(ask, [this](const json::Value& all) { emit seenChanged(all); });
}

void DeskBackend::set_person(const QString& initials)
{
    person_ = initials;
    desk_.set_person(initials);
    emit stationChanged("This tablet", person_, 0);
}

void DeskBackend::take_view(std::shared_ptr<const job::JobView> view)
{
    view_ = std::move(view);
    emit viewChanged(*view_);
}

void DeskBackend::take_live(std::shared_ptr<const watch::LiveSnapshot> live)
{
    const bool lost = live->link == watch::LinkState::lost;
    if (lost) emit bannerChanged("attention", "Link lost", "What was seen is kept. The port is tried again.", {"Look at the adapter and the plug"});
    else emit bannerChanged({}, {}, {}, {});
    emit liveChanged(frame_of(*live));
}

void DeskBackend::take_rows(const std::vector<journal::JobRow>& rows)
{
    std::vector<models::HomeRow> home;
    bool first = true;
    for (const auto& row : rows) {
        models::HomeRow h;
        h.job = row.job;
        h.tail = row.tail;
        h.complaint = row.title;
        h.state = state_words(row);
        h.mark = row.status == "closed" ? job::Mark::good : job::Mark::none;
        h.where = row.practice ? "practice" : "";
        h.rail = rail_of(row);
        h.entries = row.entries;
        h.mine = first && row.status != "closed";
        first = first && !h.mine;
        home.push_back(std::move(h));
    }
    emit homeChanged(home);
}

void DeskBackend::take_problem(const Problem& what)
{
    if (what.code == "disk_full") emit bannerChanged("stop", "The tablet is full", words_for(what), {"Free some room", "Then go on: nothing that was shown as saved is lost"});
    emit refused(words_for(what));
}

} // namespace chockside::app
