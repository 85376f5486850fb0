#include "home_model.h"
#include "job_rows.h"
#include "words.h"

#include <QDateTime>

#include <algorithm>

namespace chockside::models {

HomeModel::HomeModel(QObject* parent) : QObject(parent)
{
    now_ms_ = QDateTime::currentMSecsSinceEpoch();
}

void HomeModel::set_rows(const std::vector<HomeRow>& rows)
{
    known_ = true;
    jobs_.set_rows(rows);
    emit changed();
}

void HomeModel::set_total(int jobs)
{
    total_ = jobs;
    emit changed();
}

void HomeModel::search(const QString& words)
{
    if (words == searched_) return;
    searched_ = words;
    emit changed();
    emit search_asked(words);
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

const HomeRow* HomeModel::half_done() const
{
    const auto& rows = jobs_.rows();
    const auto row = std::find_if(rows.begin(), rows.end(), [](const HomeRow& r) { return r.mine; });
    return row == rows.end() ? nullptr : &*row;
}

QString HomeModel::sentence() const
{
    if (!known_) return {};
    const int n = total();
    if (!searched_.trimmed().isEmpty()) return tr("%1 of %2 jobs.").arg(jobs_.count()).arg(n);
    if (n == 0) return tr("No job on this tablet. Start a practice job.");
    const auto& rows = jobs_.rows();
    const int half = int(std::count_if(rows.begin(), rows.end(), [](const HomeRow& r) { return r.mine; }));
    const QString have = n == 1 ? tr("One job on this tablet.") : tr("%1 jobs on this tablet.").arg(counted(n));
    return half ? have + ' ' + (half == 1 ? tr("One stands half done.") : tr("%1 stand half done.").arg(counted(half))) : have;
}

QString HomeModel::key_small() const
{
    if (!known_) return {};
    const HomeRow* row = half_done();
    return row ? tr("%1, %2 entries").arg(words(row->tail)).arg(row->entries) : tr("Nothing at risk");
}

QString HomeModel::key_large() const
{
    if (!known_) return tr("Opening the jobs");
    const HomeRow* row = half_done();
    if (!row) return tr("Start a practice job");
    job::JobView shape;
    shape.rail = row->rail;
    for (const QVariantMap& piece : rail_rows(shape))
        if (piece["here"].toBool()) return tr("Go on in %1").arg(piece["title"].toString());
    return tr("Go on");
}

void HomeModel::press()
{
    if (!known_) return;
    if (const HomeRow* row = half_done()) emit open_asked(words(row->job));
    else emit practice_asked();
}

} // namespace chockside::models
