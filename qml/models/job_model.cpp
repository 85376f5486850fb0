#include "job_model.h"

#include <QHash>

#include <algorithm>

namespace chockside::models {

namespace {

const QChar unbroken(0x00A0);

const job::WaitView* running(const job::JobView& v)
{
    const auto it = std::find_if(v.waits.rbegin(), v.waits.rend(), [](const auto& w) { return w.state == job::WaitView::State::running; });
    return it == v.waits.rend() ? nullptr : &*it;
}

double share(std::int64_t now, std::int64_t at, std::int64_t end) { return end > now ? std::clamp(double(at - now) / double(end - now), 0.0, 1.0) : 1.0; }

} // namespace

JobModel::JobModel(QObject* parent) : QObject(parent)
{
    connect(&fix_, &EntryFix::asked, this, [this](const job::Command& command) { fix_sent_ = send(command); });
}

void JobModel::set_view(const job::JobView& view)
{
    const bool other_prompt = view.next.id != proposed_.id || view.job != view_.job || view.entries != view_.entries;
    const std::string was_taken = view_.taken;
    if (view.job != view_.job || (sent_at_ >= 0 && view.entries > sent_at_)) taken_.clear();
    view_ = view;
    proposed_ = view.next;
    keep_taken(was_taken);
    fix_.set_view(view_);
    if (other_prompt) set_refusal({});
    show();
}

/// A check that the desk works toward stays taken, whatever the line writes meanwhile, until the desk says that it is answered.
void JobModel::keep_taken(const std::string& before)
{
    if (!view_.taken.empty()) taken_ = words("check:" + view_.taken);
    else if (!before.empty() && taken_ == words("check:" + before)) taken_.clear();
}

void JobModel::select_other(const QString& row)
{
    const auto other = std::find_if(view_.others.begin(), view_.others.end(), [&](const job::Prompt& q) { return other_row(q) == row; });
    const QString check = other == view_.others.end() ? QString() : words(other->toward);
    const bool left = !view_.taken.empty();
    taken_ = row;
    view_.taken.clear();
    show();
    if (left || !check.isEmpty()) emit check_taken(check);
}

/// Puts the proposed prompt, or the other one that was taken, in its place; what was typed for another prompt goes.
void JobModel::show()
{
    const std::string before = prompt_.id.toStdString();
    const auto other = std::find_if(view_.others.begin(), view_.others.end(), [&](const job::Prompt& q) { return other_row(q) == taken_; });
    const bool by_desk = !view_.taken.empty();
    view_.next = by_desk || other == view_.others.end() ? proposed_ : *other;
    if (!by_desk && other == view_.others.end()) taken_.clear();
    // An entry that the line wrote meanwhile must not take away what is half typed; one that was sent from here has used it.
    if (view_.next.id != before || view_.job != drafted_job_ || (sent_at_ >= 0 && view_.entries > sent_at_)) {
        pad_.clear();
        chosen_.clear();
        draft_.clear();
        drafted_job_ = view_.job;
        sent_at_ = -1;
    }
    prompt_ = PromptValue::of(view_.next);
    lists_.set_view(view_);
    emit changed();
    emit entry_changed();
}

void JobModel::set_refusal(const QString& words)
{
    if (words == refusal_) return;
    refusal_ = words;
    if (!words.isEmpty()) sent_at_ = -1;
    emit refused_changed();
}

void JobModel::set_person(const QString& initials)
{
    if (initials == person_) return;
    person_ = initials;
    emit person_changed();
}

/// Who signs: an inspector's initials are for that one signature, the next entry is the signed-in person's again.
QString JobModel::signer() const { return draft_.value("person", person_).toString(); }

QVariantList JobModel::pieces() const
{
    QVariantList out;
    for (const QVariantMap& row : rail_rows(view_)) out.append(row);
    return out;
}

QString JobModel::departure() const { return clock_hm(view_.departure_utc_ms); }
QString JobModel::decide() const { return clock_hm(view_.decide_utc_ms); }
QString JobModel::utc() const { return clock_hm(view_.now_utc_ms); }
QString JobModel::local() const { return local_hm(view_.now_utc_ms); }
QString JobModel::to_departure() const { return view_.departure_utc_ms ? span_text(view_.departure_utc_ms - view_.now_utc_ms) : QString(); }

QString JobModel::leaves() const
{
    if (!view_.departure_utc_ms) return tr("No departure time");
    return tr("Leaves %1, in %2").arg(departure() + unbroken + 'Z', to_departure());
}

bool JobModel::warm() const
{
    return !view_.waits.empty() && std::all_of(view_.waits.begin(), view_.waits.end(), [](const auto& w) { return w.state == job::WaitView::State::over; });
}

QString JobModel::wait_figure() const
{
    if (const auto* w = running(view_)) return countdown(w->left_s);
    return warm() ? QStringLiteral("00:00") : QStringLiteral("--:--");
}

QString JobModel::wait_word() const
{
    if (const auto* w = running(view_)) return tr("%1 left").arg(words(w->title).toLower());
    return warm() ? tr("warm") : tr("not known yet");
}

QString JobModel::entries_text() const { return entries_of(view_.entries); }
QString JobModel::unsent_text() const { return view_.unsent == 0 ? tr("all sent") : tr("%1 unsent").arg(view_.unsent); }

int JobModel::owed_minutes() const
{
    double sum = 0;
    for (const auto& o : view_.owed)
        if (o.mark != job::Mark::good) sum += o.minutes;
    return qRound(sum);
}

double JobModel::decide_share() const { return share(view_.now_utc_ms, view_.decide_utc_ms, view_.departure_utc_ms); }
double JobModel::owed_share() const { return share(view_.now_utc_ms, view_.now_utc_ms + std::int64_t(owed_minutes()) * 60000, view_.departure_utc_ms); }

QStringList JobModel::not_owed() const
{
    QStringList out;
    for (const auto& line : view_.not_owed) out.append(words(line));
    return out;
}

QVariantList JobModel::fields() const
{
    QVariantList out;
    for (const auto& [field, title] : view_.next.fields) out.append(QVariantMap{{"id", words(field)}, {"title", words(title)}});
    return out;
}

QString JobModel::limit() const { return limit_text(prompt_); }
QString JobModel::verdict() const { return judge(prompt_, pad_.value()).words; }
QString JobModel::verdict_mark() const { return judge(prompt_, pad_.value()).mark; }
double JobModel::verdict_place() const { return judge(prompt_, pad_.value()).place; }

bool JobModel::key_ready() const
{
    if (!prompt_.ready || prompt_.kind == "wait" || prompt_.kind == "none") return false;
    if (prompt_.kind == "choose") return !chosen_.isEmpty();
    if (prompt_.typed()) return pad_.value().has_value();
    return missing_fields().isEmpty();
}

QStringList JobModel::missing_fields() const
{
    QStringList wanted;
    if (prompt_.kind == "sign") wanted = signer_known() ? QStringList{"pin"} : QStringList{"name", "certificate_kind", "certificate_number", "pin", "pin_again"};
    if (prompt_.kind == "part") wanted = {"off_serial", "off_tag", "on_serial", "on_certificate"};
    if (prompt_.kind == "text")
        for (const auto& [field, title] : view_.next.fields) wanted.append(words(field));
    QStringList missing;
    if (prompt_.kind == "sign" && signer().isEmpty()) missing.append("person");
    for (const QString& field : wanted)
        if (draft_.value(field).toString().trimmed().isEmpty()) missing.append(field);
    if (prompt_.kind == "sign" && missing.isEmpty() && !signer_known() && draft_["pin"] != draft_["pin_again"]) missing.append("pin_same");
    return missing;
}

QString JobModel::signer_words() const
{
    const auto who = signers_.constFind(signer());
    return who == signers_.constEnd() ? QString() : who->name + ", " + who->certificate_kind + unbroken + who->certificate_number;
}

void JobModel::set_signers(const std::vector<Signer>& signers)
{
    signers_.clear();
    for (const Signer& s : signers) signers_.insert(s.id, s);
    emit entry_changed();
}

QString JobModel::key_small() const
{
    if (prompt_.kind == "wait")
        for (const auto& w : view_.waits)
            if (w.state == job::WaitView::State::running && w.ends_utc_ms && words(w.id) == prompt_.label) return tr("Until %1").arg(clock_hms(w.ends_utc_ms) + unbroken + 'Z');
    if (!prompt_.ready) return tr("Waits: %1").arg(prompt_.missing);
    if (prompt_.kind == "choose" && chosen_.isEmpty()) return tr("Waits: your answer");
    if (prompt_.typed() && !pad_.value()) return tr("Waits: the reading");
    if (const QStringList missing = missing_fields(); !missing.isEmpty()) {
        static const QHash<QString, QString> said{{"person", tr("your initials")}, {"name", tr("your name")}, {"pin", tr("your PIN")}, {"pin_again", tr("the PIN again")}, {"pin_same", tr("both PINs alike")}, {"certificate_kind", tr("kind of certificate")}, {"certificate_number", tr("certificate number")},
            {"off_serial", tr("serial off")}, {"off_tag", tr("tag number")}, {"on_serial", tr("serial on")}, {"on_certificate", tr("certificate")}};
        for (const auto& [field, title] : view_.next.fields)
            if (words(field) == missing.first()) return tr("Waits: %1").arg(lower_first(words(title)));
        return tr("Waits: %1").arg(said.value(missing.first()));
    }
    return words(view_.next.key_small);
}

QString JobModel::key_large() const
{
    for (const auto& [id, text] : view_.next.choices)
        if (prompt_.kind == "choose" && words(id) == chosen_) return words(text);
    if (!prompt_.typed() || !pad_.value()) return words(view_.next.key_large);
    const QString figure = QString(pad_.text()).replace('-', QChar(0x2212)) + (prompt_.unit == "°" ? QString() : QString(unbroken)) + prompt_.unit;
    const QString record = tr("Record %1").arg(figure);
    return verdict().isEmpty() ? record : record + ", " + verdict().remove(" the");
}

} // namespace chockside::models
