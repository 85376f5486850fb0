#include "lock_model.h"

namespace chockside::models {

void LockModel::set_person(const QString& initials)
{
    if (person_ == initials) return;
    person_ = initials;
    words_.clear();
    emit changed();
}

void LockModel::set(bool locked, const QStringList& people)
{
    locked_ = locked;
    trying_ = false;
    people_ = people;
    words_.clear();
    if (!people_.contains(person_)) person_ = people_.value(0);
    emit changed();
}

void LockModel::set_in_keyring(bool in_keyring)
{
    in_keyring_ = in_keyring;
    emit changed();
}

void LockModel::refuse(const QString& words)
{
    trying_ = false;
    words_ = words;
    emit changed();
}

void LockModel::unlock(const QString& pin)
{
    if (trying_ || pin.isEmpty()) return;
    trying_ = true;
    words_.clear();
    emit changed();
    emit unlock_asked(person_, pin);
}

} // namespace chockside::models
