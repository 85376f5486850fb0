#pragma once
// The lock: whether what is kept can be read, who may open it, and after how long without a touch it closes by itself.

#include <QObject>
#include <QStringList>
#include <QtQml/qqmlregistration.h>

namespace chockside::models {

class LockModel : public QObject {
    Q_OBJECT
    QML_ELEMENT
    Q_PROPERTY(bool locked READ locked NOTIFY changed FINAL)
    Q_PROPERTY(QStringList people READ people NOTIFY changed FINAL)
    Q_PROPERTY(QString person READ person WRITE set_person NOTIFY changed FINAL)
    Q_PROPERTY(QString words READ words NOTIFY changed FINAL)
    Q_PROPERTY(bool trying READ trying NOTIFY changed FINAL)
    Q_PROPERTY(bool in_keyring READ in_keyring NOTIFY changed FINAL)
    Q_PROPERTY(bool possible READ possible NOTIFY changed FINAL)
public:
    using QObject::QObject;

    bool locked() const { return locked_; }
    /// Initials of those whose PIN opens it.
    QStringList people() const { return people_; }
    bool possible() const { return !people_.isEmpty(); }
    QString person() const { return person_; }
    void set_person(const QString& initials);
    /// Why the last try did not open it.
    QString words() const { return words_; }
    bool trying() const { return trying_; }
    void set(bool locked, const QStringList& people);
    /// Whether the system's keyring keeps this device's key, or a file does.
    bool in_keyring() const { return in_keyring_; }
    void set_in_keyring(bool in_keyring);
    void refuse(const QString& words);

    Q_INVOKABLE void unlock(const QString& pin);
    Q_INVOKABLE void lock() { emit lock_asked(false); }

signals:
    void changed();
    void unlock_asked(const QString& person, const QString& pin);
    void lock_asked(bool idle);

private:
    bool locked_ = false, trying_ = false, in_keyring_ = false;
    QStringList people_;
    QString person_, words_;
};

} // namespace chockside::models
