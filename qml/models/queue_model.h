#pragma once
// The way from this tablet to the shop: what is only here, what is there, and when it is tried again.

#include "carry_model.h"

#include <QObject>
#include <QString>
#include <QtQml/qqmlregistration.h>

namespace chockside::models {

struct QueueSeen {
    QString shop;                       ///< where it is; empty: none is known
    bool enrolled = false, busy = false, went_back = false;
    qint64 entries = 0, sent = 0, at_shop = 0, archived = 0, lacking = 0;
    int files = 0;                      ///< attachments not yet at the shop
    int refused = 0;                    ///< attachments that do not go before somebody tries anew; not among `files`
    qint64 file_bytes = 0, file_done = 0;
    QString doing, reason, stopped, refused_reason; ///< codes of sync::QueueView
    qint64 next_try_s = -1;
};

class QueueModel : public QObject {
    Q_OBJECT
    QML_ELEMENT
    Q_PROPERTY(bool known READ known NOTIFY changed FINAL)
    Q_PROPERTY(bool enrolled READ enrolled NOTIFY changed FINAL)
    Q_PROPERTY(bool halted READ halted NOTIFY changed FINAL)
    Q_PROPERTY(int unsent READ unsent NOTIFY changed FINAL)
    Q_PROPERTY(double share READ share NOTIFY changed FINAL)
    Q_PROPERTY(chockside::models::CarryModel* carry READ carry CONSTANT FINAL)
    Q_PROPERTY(QString shop READ shop NOTIFY changed FINAL)
    Q_PROPERTY(QString sentence READ sentence NOTIFY changed FINAL)
    Q_PROPERTY(QString here READ here NOTIFY changed FINAL)
    Q_PROPERTY(QString there READ there NOTIFY changed FINAL)
    Q_PROPERTY(QString archived READ archived NOTIFY changed FINAL)
    Q_PROPERTY(QString files READ files NOTIFY changed FINAL)
    Q_PROPERTY(QString lacking READ lacking NOTIFY changed FINAL)
    Q_PROPERTY(QString now READ now NOTIFY changed FINAL)
public:
    using QObject::QObject;
    void set(const QueueSeen& seen);
    CarryModel* carry() { return &carry_; }

    bool known() const { return !seen_.shop.isEmpty(); }
    bool enrolled() const { return seen_.enrolled; }
    /// Nothing more is tried before a person has looked.
    bool halted() const { return !seen_.stopped.isEmpty(); }
    int unsent() const { return static_cast<int>(seen_.entries - seen_.at_shop); }
    /// Of the entries, at the shop: 0 to 1.
    double share() const { return seen_.entries > 0 ? static_cast<double>(seen_.at_shop) / static_cast<double>(seen_.entries) : 1; }
    QString shop() const { return seen_.shop; }
    QString sentence() const;
    QString here() const;
    QString there() const;
    QString archived() const;
    QString files() const;
    /// Entries that went without their body, for want of a PIN.
    QString lacking() const;
    /// What goes on just now, or why nothing does and when it is tried again.
    QString now() const;

    Q_INVOKABLE void try_now() { emit try_asked(); }
    Q_INVOKABLE void enrol(const QString& code) { emit enrol_asked(code); }

signals:
    void changed();
    void try_asked();
    void enrol_asked(const QString& code);

private:
    QString why(const QString& code) const;
    QueueSeen seen_;
    CarryModel carry_;
    qint64 next_try_ms_ = -1; ///< UTC
};

} // namespace chockside::models
