#include "home_model.h"
#include "job_rows.h"
#include "rows_of.h"
#include "words.h"

#include <QDateTime>

#include <algorithm>

namespace chockside::models {

HomeModel::HomeModel(QObject* parent) : QObject(parent), from_shop_({"id", "job", "head", "text", "by", "waits"}, "id")
{
    now_ms_ = QDateTime::currentMSecsSinceEpoch();
}

void HomeModel::set_rows(const std::vector<HomeRow>& rows)
{
    known_ = true;
    jobs_.set_rows(rows);
    emit changed();
}

void HomeModel::set_from_shop(const std::vector<ShopItem>& items)
{
    items_ = items;
    from_shop_.set_rows(rows_of(items_, [this](const ShopItem& i) {
        const QString head = i.tail.empty() && !i.write_up ? tr("all") : i.write_up ? words(i.tail + ": " + i.title) : words(i.tail);
        const QString by = tr("%1, %2 %3 Z").arg(words(i.by), day_month(i.utc_ms), clock_hm(i.utc_ms));
        return QVariantMap{{"id", words(i.job) + "/" + QString::number(i.utc_ms)}, {"job", words(i.job)}, {"head", head}, {"text", prose(i.text)}, {"by", by}, {"waits", i.write_up}};
    }));
    emit changed();
}

const ShopItem* HomeModel::waiting(const QString& job) const
{
    const auto at = std::ranges::find_if(items_, [&](const ShopItem& i) { return i.write_up && words(i.job) == job; });
    return at == items_.end() ? nullptr : &*at;
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
    const int waits = int(std::ranges::count_if(items_, &ShopItem::write_up));
    if (waits > 0) return waits == 1 ? tr("One write-up from the shop waits.") : tr("%1 write-ups from the shop wait.").arg(counted(waits));
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
    return row ? tr("%1, %2").arg(words(row->tail), entries_of(row->entries)) : tr("Nothing at risk");
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
