#include "job_model.h"

#include <QUuid>

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

void JobModel::send(const std::string& kind, json::Value args)
{
    job::Command command;
    command.id = QUuid::createUuid().toString(QUuid::WithoutBraces).toStdString();
    command.kind = kind;
    command.args = args.is_object() ? std::move(args) : json::Value(json::Object{});
    command.person = (kind == "sign" ? signer() : person_).toStdString();
    if (kind == "sign") command.pin = take_pin();
    set_refusal({});
    sent_at_ = view_.entries;
    emit commanded(command);
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

/// The prompt's own arguments with the answer where its command looks for it.
json::Value JobModel::answered(const job::Prompt& prompt, const QString& answer) const
{
    json::Value args = prompt.args.is_object() ? prompt.args : json::Value(json::Object{});
    if (answer.isEmpty()) return args;
    if (prompt.command == "presence") args.at("is") = plain(answer);
    else if (prompt.kind == job::Prompt::Kind::swing_point) args.at("reference") = plain(answer);
    else if (prompt.kind == job::Prompt::Kind::number) args.at("number") = plain(answer);
    else args.at("outcome") = plain(answer);
    return args;
}

void JobModel::press()
{
    if (!key_ready() || view_.closed) return;
    if (prompt_.typed()) return send(view_.next.command, answered(view_.next, pad_.text()));
    if (prompt_.kind == "choose") return send(view_.next.command, answered(view_.next, chosen_));
    if (prompt_.kind == "sign" || prompt_.kind == "part" || prompt_.kind == "text") return press_form();
    send(view_.next.command, answered(view_.next, {}));
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
    json::Value args = answered(view_.next, {});
    args.at("text") = plain(draft_["text"].toString());
    send(view_.next.command, std::move(args));
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
    json::Value args = view_.next.args.is_object() ? view_.next.args : json::Value(json::Object{});
    args.at("outcome") = plain(outcome);
    send(view_.next.command, std::move(args));
}

void JobModel::sign(const QString& certificate_kind, const QString& certificate_number)
{
    json::Value args = view_.next.args.is_object() ? view_.next.args : json::Value(json::Object{});
    args.at("name") = plain(draft_["name"].toString());
    args.at("certificate_kind") = plain(certificate_kind);
    args.at("certificate_number") = plain(certificate_number);
    send("sign", std::move(args));
}

void JobModel::part(const QVariantMap& off, const QVariantMap& on)
{
    json::Value args = view_.next.args.is_object() ? view_.next.args : json::Value(json::Object{});
    args.at("off") = object_of(off);
    args.at("on") = object_of(on);
    send("part", std::move(args));
}

void JobModel::note(const QString& text)
{
    if (text.trimmed().isEmpty()) return;
    json::Value args(json::Object{});
    args.at("text") = plain(text);
    send("note", std::move(args));
}

void JobModel::photo(const QString& of, const QString& path)
{
    json::Value args = prompt_.kind == "photo" && view_.next.args.is_object() ? view_.next.args : json::Value(json::Object{});
    if (!of.isEmpty()) args.at("of") = plain(of);
    if (!path.isEmpty()) args.at("path") = plain(path);
    send("photo", std::move(args));
}

} // namespace chockside::models
