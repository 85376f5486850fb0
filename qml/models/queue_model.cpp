#include "queue_model.h"

#include "words.h"

#include <platform/words/words.h>

#include <QDateTime>
#include <QHash>

namespace chockside::models {

void QueueModel::set(const QueueSeen& seen)
{
    seen_ = seen;
    // As a time of day: a number of seconds would have to count down.
    next_try_ms_ = seen.next_try_s < 0 ? -1 : QDateTime::currentMSecsSinceEpoch() + seen.next_try_s * 1000;
    emit changed();
}

/// One fact, then one act.
QString QueueModel::sentence() const
{
    if (!known()) return tr("No shop is known here. Type its code.");
    if (halted()) return tr("Nothing is sent. %1").arg(why(seen_.stopped));
    if (seen_.went_back && unsent() > 0) return tr("The shop's records went back. They are sent again.");
    if (unsent() == 0 && seen_.files == 0 && seen_.refused > 0) return tr("The entries are there, but not every attachment.");
    if (unsent() == 0 && seen_.files == 0) return tr("The shop has everything.");
    return unsent() > 0 ? tr("%1, safe here. Shop has %2.").arg(entries_of(static_cast<int>(seen_.entries))).arg(seen_.at_shop) : tr("The entries are there. Attachments follow.");
}

QString QueueModel::here() const { return tr("%1, safe here").arg(entries_of(static_cast<int>(seen_.entries))); }
QString QueueModel::there() const { return tr("has %1").arg(seen_.at_shop); }
QString QueueModel::archived() const { return seen_.archived > 0 ? tr("%1 of them are in its archive").arg(seen_.archived) : QString(); }

QString QueueModel::files() const
{
    const QString kept = seen_.refused > 0 ? tr("Attachments that stay here: %1. %2").arg(seen_.refused).arg(why(seen_.refused_reason)) : QString();
    if (seen_.files == 0) return kept.isEmpty() ? tr("No attachment waits") : kept;
    const auto kib = [](qint64 bytes) { return QString::number((bytes + 1023) / 1024); };
    const QString waits = tr("%1 attachments wait, %2 of %3 KiB sent").arg(seen_.files).arg(kib(seen_.file_done), kib(seen_.file_bytes));
    return kept.isEmpty() ? waits : waits + ". " + kept;
}

QString QueueModel::lacking() const
{
    return seen_.lacking > 0 ? tr("%1 went without their text: this tablet was locked. They follow.").arg(seen_.lacking) : QString();
}

QString QueueModel::now() const
{
    if (!known()) return {};
    if (seen_.busy) {
        static const QHash<QString, QString> at{{"enrol", tr("Introduces itself")}, {"session", tr("Calls the shop")}, {"heads", tr("Asks what the shop has")}, {"push", tr("Sends entries")}, {"pull", tr("Fetches what is new")}, {"blob", tr("Sends an attachment")}};
        return at.value(seen_.doing, tr("At work"));
    }
    const QString because = seen_.reason.isEmpty() ? QString() : why(seen_.reason) + ' ';
    return next_try_ms_ < 0 ? because.trimmed() : because + tr("Next try %1.").arg(clock_hms(next_try_ms_));
}

QString QueueModel::why(const QString& code) const
{
    return words(chockside::words::of({code.toStdString(), {}, {}}).message);
}

} // namespace chockside::models
