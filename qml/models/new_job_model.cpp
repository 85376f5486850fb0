#include "new_job_model.h"

#include "rows_of.h"
#include "words.h"

#include <QDateTime>

#include <algorithm>

namespace chockside::models {

namespace {

constexpr std::int64_t day_ms = 86'400'000;

} // namespace

NewJobModel::NewJobModel(QObject* parent)
    : QObject(parent), profiles_({"id", "label_text", "detail", "chosen", "wrong"}, "id"), complaints_({"id", "label_text", "chosen"}, "id"), ports_({"id", "label_text", "chosen"}, "id")
{
}

void NewJobModel::set_profiles(std::vector<ProfileChoice> profiles)
{
    at_hand_ = std::move(profiles);
    if (!chosen()) profile_.clear();
    show();
}

void NewJobModel::set_ports(std::vector<PortChoice> ports)
{
    there_ = std::move(ports);
    show();
}

void NewJobModel::set_person(const QString& initials)
{
    person_ = initials;
    emit changed();
}

void NewJobModel::set_own_folder(const QString& path)
{
    own_folder_ = path;
    emit changed();
}

void NewJobModel::give(const std::string& job, const std::string& tail, const std::string& title, const QString& said)
{
    given_ = job;
    given_words_ = said;
    tail_ = words(tail);
    complaint_ = words(title);
    refusal_.clear();
    emit changed();
}

void NewJobModel::forget_given()
{
    if (given_.empty()) return;
    given_.clear();
    given_words_.clear();
    tail_.clear();
    complaint_.clear();
    emit changed();
}

void NewJobModel::refuse(const QString& why)
{
    refusal_ = why;
    emit changed();
}

void NewJobModel::done()
{
    forget_given();
    tail_.clear();
    complaint_.clear();
    leaves_.clear();
    kind_.clear();
    refusal_.clear();
    show();
}

const ProfileChoice* NewJobModel::chosen() const
{
    const auto at = std::ranges::find(at_hand_, profile_, &ProfileChoice::name);
    return at == at_hand_.end() ? nullptr : &*at;
}

void NewJobModel::show()
{
    profiles_.set_rows(rows_of(at_hand_, [this](const ProfileChoice& p) {
        const QString about = p.wrong.empty() ? tr("%1 with %2, revision %3").arg(words(p.aircraft_type), words(p.unit).toUpper().replace('_', '-')).arg(p.revision) : tr("Can't be used: %1").arg(words(p.wrong));
        const QString whose = p.published ? about + ", " + tr("published by the shop") : about;
        return QVariantMap{{"id", words(p.name)}, {"label_text", words(p.title)}, {"detail", p.practice ? whose + ", " + tr("practice") : whose}, {"chosen", p.name == profile_}, {"wrong", !p.wrong.empty()}};
    }));
    const ProfileChoice* p = chosen();
    complaints_.set_rows(p ? rows_of(p->complaints, [this](const auto& c) { return QVariantMap{{"id", words(c.first)}, {"label_text", words(c.second)}, {"chosen", c.first == kind_}}; }) : Rows());
    ports_.set_rows(rows_of(there_, [this](const PortChoice& one) { return QVariantMap{{"id", words(one.path)}, {"label_text", words(one.title)}, {"chosen", words(one.path) == port_}}; }));
    emit changed();
}

void NewJobModel::set_tail(const QString& tail)
{
    if (tail == tail_) return;
    tail_ = tail;
    emit changed();
}

void NewJobModel::set_complaint(const QString& complaint)
{
    if (complaint == complaint_) return;
    complaint_ = complaint;
    emit changed();
}

void NewJobModel::set_leaves(const QString& leaves)
{
    if (leaves == leaves_) return;
    leaves_ = leaves;
    emit changed();
}

void NewJobModel::set_powered(bool powered)
{
    if (powered == powered_) return;
    powered_ = powered;
    emit changed();
}

void NewJobModel::set_port(const QString& port)
{
    if (port == port_) return;
    port_ = port;
    show();
    emit port_asked(port_.trimmed());
}

bool NewJobModel::practice() const
{
    const ProfileChoice* p = chosen();
    return p && p->practice;
}

/// Hours and minutes with or without a colon, 00:00 to 23:59: the next such time. 0: none was typed, -1: it is no time.
std::int64_t NewJobModel::departure_of(const QString& leaves, std::int64_t now_utc_ms)
{
    QString digits = leaves.trimmed();
    if (digits.endsWith('Z', Qt::CaseInsensitive)) digits.chop(1);
    digits.remove(':');
    digits.remove(' ');
    if (digits.isEmpty()) return 0;
    bool number = false;
    const int value = digits.toInt(&number), hours = value / 100, minutes = value % 100;
    if (!number || (digits.size() != 4 && digits.size() != 3) || value < 0 || hours > 23 || minutes > 59) return -1;
    const std::int64_t at = now_utc_ms / day_ms * day_ms + (hours * 60 + minutes) * std::int64_t{60'000};
    return at > now_utc_ms ? at : at + day_ms;
}

QString NewJobModel::missing() const
{
    if (!chosen()) return tr("the aircraft and unit");
    if (!chosen()->wrong.empty()) return tr("a profile without mistakes");
    if (tail_.trimmed().isEmpty()) return tr("the tail");
    if (kind_.empty()) return tr("the kind of complaint");
    if (complaint_.trimmed().isEmpty()) return tr("the words of the write-up");
    if (departure_of(leaves_, QDateTime::currentMSecsSinceEpoch()) < 0) return tr("a time such as 18:40, or none");
    if (person_.trimmed().isEmpty()) return tr("your initials");
    return {};
}

void NewJobModel::look()
{
    refusal_.clear();
    emit changed();
    emit list_asked();
}

void NewJobModel::choose_profile(const QString& id)
{
    if (id.toStdString() == profile_) return;
    profile_ = id.toStdString();
    kind_.clear();
    show();
}

void NewJobModel::choose_complaint(const QString& id)
{
    kind_ = id.toStdString();
    show();
}

void NewJobModel::open()
{
    if (!missing().isEmpty()) return;
    refusal_.clear();
    emit open_asked({profile_, tail_.trimmed().toStdString(), complaint_.trimmed().toStdString(), kind_, powered_ ? "on" : "off", departure_of(leaves_, QDateTime::currentMSecsSinceEpoch()), port_.trimmed().toStdString(), given_});
}

} // namespace chockside::models
