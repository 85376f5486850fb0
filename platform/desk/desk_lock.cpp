// The desk under a PIN: what is kept can't be read until somebody who may gives theirs.
#include <platform/desk/desk_worker.h>

#include <algorithm>

namespace chockside::desk {

bool DeskWorker::barred()
{
    if (!engine_) {
        emit problem(no_store_);
        return true;
    }
    if (!engine_->store().locked()) return false;
    emit problem(Problem{"pin_needed", "store", {}});
    return true;
}

void DeskWorker::tell_lock()
{
    const auto holders = engine_->store().holders();
    const auto all = people_.list();
    QStringList who;
    if (holders && all)
        for (const auto& p : *all)
            if (std::find(holders->begin(), holders->end(), p.public_key) != holders->end()) who.append(QString::fromStdString(p.id));
    emit locked(engine_->store().locked(), who);
}

void DeskWorker::lock(bool idle)
{
    if (!engine_ && !idle) barred();
    if (!engine_ || engine_->store().locked() || (idle && pending_)) return;
    if (auto ok = engine_->store().lock(); !ok) {
        if (!idle) emit problem(ok.error());
        return;
    }
    drop_history();
    tell_lock();
    tell_people(); // without names
}

void DeskWorker::unlock(const QString& person, const QString& pin)
{
    if (!engine_) barred();
    if (!engine_ || !engine_->store().locked()) return;
    std::string typed = pin.toStdString();
    auto key = people_.key(person.toStdString(), typed);
    trust::wipe(std::as_writable_bytes(std::span(typed)));
    const Status opened = key ? engine_->store().unlock(*key) : Status(Unexpected{key.error()});
    if (!opened) {
        emit problem(opened.error());
        return;
    }
    look_ = true;
    set_person(person); // who gave the PIN is who works on
    emit here(person);
    if (shop_) shop_->unlocked();
    tell_lock();
    tell_people();
    take_came({}); // what came while bodies could not be read
    publish();
}

void DeskWorker::tell_queue()
{
    const auto queue_now = shop_->view();
    engine_->set_at_shop(queue_now.at_shop);
    emit queue(queue_now, QString::fromStdString(shop_->shop()));
    dirty_ = true;
    if (!queue_now.busy && !back_from_.isEmpty()) take_back(std::exchange(back_from_, {}));
}

void DeskWorker::enrol_at_shop(const QString& code)
{
    if (!shop_) barred();
    else if (auto ok = shop_->enrol(code.trimmed().toStdString()); !ok) emit problem(ok.error());
}

void DeskWorker::try_shop()
{
    if (shop_) shop_->try_now();
    else barred();
}

} // namespace chockside::desk
