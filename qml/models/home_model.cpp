#include "home_model.h"
#include "job_rows.h"
#include "words.h"

#include <QDateTime>

namespace chockside::models {

HomeModel::HomeModel(QObject* parent)
    : QObject(parent), jobs_({"job", "tail", "note", "complaint", "state", "mark", "where", "pieces", "entries", "mine"}, "job")
{
    now_ms_ = QDateTime::currentMSecsSinceEpoch();
}

void HomeModel::set_rows(const std::vector<HomeRow>& rows)
{
    Rows list;
    for (const HomeRow& r : rows) {
        job::JobView shape;
        shape.rail = r.rail;
        QVariantList pieces;
        for (const QVariantMap& piece : rail_rows(shape)) pieces.append(piece);
        list.append({{"job", words(r.job)}, {"tail", words(r.tail)}, {"note", words(r.note)}, {"complaint", words(r.complaint)}, {"state", words(r.state)},
                     {"mark", mark_name(r.mark)}, {"where", words(r.where)}, {"pieces", pieces}, {"entries", r.entries}, {"mine", r.mine}});
    }
    jobs_.set_rows(list);
    emit changed();
}

void HomeModel::set_station(const QString& station, const QString& signed_in, int unsent)
{
    station_ = station;
    signed_in_ = signed_in;
    unsent_ = unsent;
    emit changed();
}

void HomeModel::set_now(std::int64_t utc_ms)
{
    now_ms_ = utc_ms;
    emit tick();
}

QString HomeModel::utc() const { return clock_hm(now_ms_); }
QString HomeModel::local() const { return local_hm(now_ms_); }

const QVariantMap* HomeModel::half_done() const
{
    for (const QVariantMap& row : jobs_.rows())
        if (row["mine"].toBool()) return &row;
    return nullptr;
}

QString HomeModel::sentence() const
{
    const int n = jobs_.count();
    if (n == 0) return tr("No job on this tablet. Start a practice job.");
    int half = 0;
    for (const QVariantMap& row : jobs_.rows()) half += row["mine"].toBool();
    const QString have = n == 1 ? tr("One job on this tablet.") : tr("%1 jobs on this tablet.").arg(counted(n));
    return half ? have + ' ' + (half == 1 ? tr("One stands half done.") : tr("%1 stand half done.").arg(counted(half))) : have;
}

QString HomeModel::key_small() const
{
    const QVariantMap* row = half_done();
    return row ? tr("%1, %2 entries").arg((*row)["tail"].toString()).arg((*row)["entries"].toInt()) : tr("Nothing at risk");
}

QString HomeModel::key_large() const
{
    const QVariantMap* row = half_done();
    if (!row) return tr("Start a practice job");
    for (const QVariant& piece : (*row)["pieces"].toList())
        if (piece.toMap()["here"].toBool()) return tr("Go on in %1").arg(piece.toMap()["title"].toString());
    return tr("Go on");
}

void HomeModel::press()
{
    if (const QVariantMap* row = half_done()) emit open_asked((*row)["job"].toString());
    else emit practice_asked();
}

} // namespace chockside::models
