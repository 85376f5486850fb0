#include "carry_model.h"

namespace chockside::models {

CarryModel::CarryModel(QObject* parent) : QObject(parent)
{
    turn_.setInterval(pace_ms);
    connect(&turn_, &QTimer::timeout, this, [this] { go(1); });
}

void CarryModel::set(const CarrySeen& seen)
{
    seen_ = seen;
    came_.clear();
    at_ = 0;
    turn_.stop();
    emit changed();
}

void CarryModel::set_taken_back(int files)
{
    came_ = files == 0 ? tr("No file from the shop is there.") : files == 1 ? tr("One file from the shop was read.") : tr("%1 files from the shop were read.").arg(files);
    emit changed();
}

QString CarryModel::place() const { return tr("%1 of %2").arg(at_ + 1).arg(seen_.symbols.size()); }

QString CarryModel::sentence() const
{
    return running() ? tr("Hold the reader still: %1.").arg(place()) : tr("Show picture %1.").arg(place());
}

QString CarryModel::says() const
{
    const QString all = seen_.upto < seen_.last ? tr("The pictures hold entries %1 to %2, the file all to %3.").arg(seen_.first).arg(seen_.upto).arg(seen_.last) : tr("Entries %1 to %2.").arg(seen_.first).arg(seen_.last);
    return all + ' ' + tr("Attachments wait for a network. Whoever reads these can read your entries.");
}

void CarryModel::step(int by)
{
    turn_.stop();
    go(by);
}

void CarryModel::run(bool on)
{
    if (on && shown()) turn_.start();
    else turn_.stop();
    emit changed();
}

void CarryModel::done()
{
    turn_.stop();
    seen_.symbols.clear();
    emit changed();
}

void CarryModel::go(int by)
{
    const int count = static_cast<int>(seen_.symbols.size());
    if (count > 0) at_ = ((at_ + by) % count + count) % count;
    emit changed();
}

} // namespace chockside::models
