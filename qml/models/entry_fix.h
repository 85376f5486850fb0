#pragma once
// One entry of the journal, opened: what may be said anew in it, why it is voided, and who withdraws a signature. Nothing is struck here:
// only the next view says so.

#include <core/job/command.h>
#include <core/job/view.h>

#include <QObject>
#include <QtQml/qqmlregistration.h>

namespace chockside::models {

class EntryFix : public QObject {
    Q_OBJECT
    QML_ELEMENT
    Q_PROPERTY(QString at READ at NOTIFY changed FINAL)
    Q_PROPERTY(QString text READ text NOTIFY changed FINAL)
    Q_PROPERTY(QString by READ by NOTIFY changed FINAL)
    Q_PROPERTY(QString stands READ stands NOTIFY changed FINAL)
    Q_PROPERTY(QString field READ field NOTIFY changed FINAL)
    Q_PROPERTY(bool signature READ signature NOTIFY changed FINAL)
    Q_PROPERTY(QString should READ should NOTIFY changed FINAL)
    Q_PROPERTY(QString reason READ reason NOTIFY changed FINAL)
    Q_PROPERTY(QString pin READ pin NOTIFY changed FINAL)
    Q_PROPERTY(bool ready READ ready NOTIFY changed FINAL)
    Q_PROPERTY(QString key_small READ key_small NOTIFY changed FINAL)
    Q_PROPERTY(QString key_large READ key_large NOTIFY changed FINAL)
public:
    using QObject::QObject;

    void set_view(const job::JobView& view);
    /// It is struck: what was filled in goes.
    void done();
    QString at() const;
    QString text() const;
    /// Words of the void or the amendment that stands beside it.
    QString by() const;
    /// Why it can't be struck; empty: it can.
    QString stands() const;
    QString field() const;
    bool signature() const { return line_.signature; }
    QString should() const { return should_; }
    QString reason() const { return reason_; }
    QString pin() const { return pin_; }
    bool amends() const;
    bool ready() const { return missing().isEmpty() && stands().isEmpty(); }
    QString key_small() const;
    QString key_large() const;

    Q_INVOKABLE void open(const QString& hash);
    /// should, reason, pin
    Q_INVOKABLE void fill(const QString& what, const QString& words);
    Q_INVOKABLE void press();

signals:
    void changed();
    void asked(const chockside::job::Command& command);

private:
    QString missing() const;

    job::EntryLine line_;
    int entries_ = 0;
    QString should_, reason_, pin_;
};

} // namespace chockside::models
