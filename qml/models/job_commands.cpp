#include "job_model.h"
#include "rows_of.h"

#include <core/job/plan.h>

#include <QUuid>

#include <algorithm>
#include <cmath>

namespace chockside::models {

namespace {

std::string plain(const QString& text) { return text.trimmed().toStdString(); }

json::Value object_of(const QVariantMap& map)
{
    json::Value v(json::Object{});
    for (auto it = map.begin(); it != map.end(); ++it) v.at(it.key().toStdString()) = plain(it.value().toString());
    return v;
}

} // namespace

std::string JobModel::send(job::Command command)
{
    command.id = QUuid::createUuid().toString(QUuid::WithoutBraces).toStdString();
    if (command.person.empty()) command.person = (command.kind == "sign" ? signer() : person_).toStdString();
    if (command.kind == "sign") command.pin = take_pin();
    set_refusal({});
    sent_at_ = view_.entries;
    emit commanded(command);
    return command.id;
}

void JobModel::set_written(const QString& id)
{
    const std::string written = id.toStdString();
    if (written.empty()) return;
    if (written == note_sent_) {
        note_sent_.clear();
        emit note_written();
    }
    if (written == photo_sent_) {
        photo_sent_.clear();
        emit photo_written();
    }
    if (written == fix_sent_) {
        fix_sent_.clear();
        fix_.done();
        emit fix_written();
    }
}

void JobModel::open_entry(const QString& hash)
{
    fix_.open(hash);
    fix_.set_view(view_);
}

/// Once: a PIN stays in no draft.
std::string JobModel::take_pin()
{
    std::string pin = draft_.value("pin").toString().toStdString();
    draft_.remove("pin");
    draft_.remove("pin_again");
    emit entry_changed();
    return pin;
}

/// What the prompt asks for, with `more` in its arguments.
void JobModel::send_answer(const QString& answer, const json::Value& more)
{
    send(job::command_of(view_.next, plain(answer), more));
}

/// A choice that is another way asks on, and writes nothing yet.
bool JobModel::leads_on() const
{
    return std::any_of(view_.others.begin(), view_.others.end(), [&](const job::Prompt& q) { return other_row(q) == chosen_; });
}

void JobModel::press()
{
    if (!key_ready() || view_.closed) return;
    if (prompt_.typed()) return send_answer(pad_.text());
    if (prompt_.kind == "choose" && leads_on()) return select_other(chosen_);
    if (prompt_.kind == "choose") return send_answer(chosen_);
    if (prompt_.kind == "sign" || prompt_.kind == "part" || prompt_.kind == "text") return press_form();
    send_answer({});
}

void JobModel::press_form()
{
    if (prompt_.kind == "sign") return sign(draft_["certificate_kind"].toString(), draft_["certificate_number"].toString());
    if (prompt_.kind == "part") {
        QVariantMap off, on;
        for (const char* field : {"number", "serial", "tag", "reason"}) off.insert(field, draft_.value(QString("off_") + field));
        for (const char* field : {"number", "serial", "certificate"}) on.insert(field, draft_.value(QString("on_") + field));
        return part(off, on);
    }
    json::Value said(json::Object{});
    for (const auto& [field, title] : view_.next.fields) said.at(field) = plain(draft_[words(field)].toString());
    send_answer({}, said);
}

void JobModel::fill(const QString& field, const QString& text)
{
    const QString kept = field == "person" ? text.trimmed().toUpper() : text;
    if (draft_.contains(field) && draft_.value(field).toString() == kept) return;
    draft_.insert(field, kept);
    emit entry_changed();
}

void JobModel::choose(const QString& outcome)
{
    if (prompt_.kind != "choose" || chosen_ == outcome) return;
    chosen_ = outcome;
    emit entry_changed();
}

void JobModel::type(const QString& key)
{
    if (prompt_.typed() && pad_.press(key)) emit entry_changed();
}

void JobModel::enter_number(const QString& text)
{
    pad_.clear();
    for (QChar c : text) pad_.press(c);
    emit entry_changed();
}

void JobModel::answer(const QString& outcome)
{
    send_answer({}, json::Object{{"outcome", plain(outcome)}});
}

void JobModel::sign(const QString& certificate_kind, const QString& certificate_number)
{
    send_answer({}, json::Object{{"name", plain(draft_["name"].toString())}, {"certificate_kind", plain(certificate_kind)}, {"certificate_number", plain(certificate_number)}});
}

void JobModel::part(const QVariantMap& off, const QVariantMap& on)
{
    send_answer({}, json::Object{{"off", object_of(off)}, {"on", object_of(on)}});
}

void JobModel::note(const QString& text)
{
    if (text.trimmed().isEmpty()) return;
    note_sent_ = send({{}, "note", json::Object{{"text", plain(text)}}, {}});
}

void JobModel::not_as_left(const QString& thing, const QString& title)
{
    send({{}, "did", json::Object{{"verb", "not_as_left"}, {"of", plain(thing)}, {"words", plain(tr("Not as left: %1").arg(title))}}, {}});
}

Rows picture_rows(const std::vector<PictureSeen>& pictures)
{
    return rows_of(pictures, [](const PictureSeen& p) {
        return QVariantMap{{"path", p.path}, {"name", p.name}, {"at", day_month(p.taken_utc_ms) + ' ' + clock_hm(p.taken_utc_ms) + QChar(0x00A0) + 'Z'}};
    });
}

void JobModel::photo(const QString& of, const QString& path)
{
    json::Value more(json::Object{});
    if (!of.isEmpty()) more.at("of") = plain(of);
    if (!path.isEmpty()) more.at("path") = plain(path);
    if (prompt_.kind == "photo") {
        photo_sent_ = view_.next.id; // an answer is told by its prompt
        return send_answer({}, more);
    }
    photo_sent_ = send({{}, "photo", more, {}});
}

} // namespace chockside::models
