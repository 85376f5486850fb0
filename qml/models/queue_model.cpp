#include "queue_model.h"

#include <QHash>

namespace chockside::models {

void QueueModel::set(const QueueSeen& seen)
{
    seen_ = seen;
    emit changed();
}

/// One fact, then one act.
QString QueueModel::sentence() const
{
    if (!known()) return tr("No shop is known here. Type its code.");
    if (halted()) return tr("Nothing is sent. %1").arg(why(seen_.stopped));
    if (seen_.went_back && unsent() > 0) return tr("The shop's records went back. They are sent again.");
    if (unsent() == 0 && seen_.files == 0) return tr("The shop has everything.");
    return unsent() > 0 ? tr("%1 entries, safe here. Shop has %2.").arg(seen_.entries).arg(seen_.at_shop) : tr("The entries are there. Attachments follow.");
}

QString QueueModel::here() const { return tr("%1 entries, safe here").arg(seen_.entries); }
QString QueueModel::there() const { return tr("has %1").arg(seen_.at_shop); }
QString QueueModel::archived() const { return seen_.archived > 0 ? tr("%1 of them are in its archive").arg(seen_.archived) : QString(); }

QString QueueModel::files() const
{
    if (seen_.files == 0) return tr("No attachment waits");
    const auto kib = [](qint64 bytes) { return QString::number((bytes + 1023) / 1024); };
    return tr("%1 attachments wait, %2 of %3 KiB sent").arg(seen_.files).arg(kib(seen_.file_done), kib(seen_.file_bytes));
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
    return seen_.next_try_s < 0 ? because.trimmed() : seen_.next_try_s < 90 ? because + tr("Next try in %1 s.").arg(seen_.next_try_s) : because + tr("Next try in %1 min.").arg((seen_.next_try_s + 30) / 60);
}

QString QueueModel::why(const QString& code) const
{
    static const QHash<QString, QString> said{{"no_route", tr("No way to the shop.")}, {"stalled", tr("The shop does not answer.")}, {"cut", tr("The line was cut.")}, {"not_shop", tr("Somebody else answers in the shop's place.")},
        {"fork", tr("Another device writes under this one's name. Tell the shop.")}, {"ahead", tr("The shop knows more than this tablet. Tell the shop.")}, {"revoked", tr("The shop has revoked this device.")},
        {"bad_entry", tr("The shop can't take an entry. Tell the shop.")}, {"bad_code", tr("The code is not taken. Ask for a new one.")}};
    return said.value(code, tr("The shop says: %1.").arg(code));
}

} // namespace chockside::models
