#pragma once
// Why is nothing heard on the port? Every step of the way in order, the first gap, and what to do about it.

#include "rows_model.h"

#include <core/job/view.h>

#include <QObject>

#include <vector>

namespace chockside::models {

/// `mark`: good, attention (the gap), none (not tried). `message` and `mend` in words: of the gap alone.
struct PortStepSeen {
    std::string id;
    job::Mark mark = job::Mark::none;
    QString message, mend;
    double minutes = 0;
};

struct PortSeen {
    QString port;
    std::vector<PortStepSeen> steps;
    qint64 bytes = 0, frames = 0;
    QString part;
};

class PortCheckModel : public QObject {
    Q_OBJECT
    QML_ELEMENT
    Q_PROPERTY(chockside::models::RowsModel* steps READ steps CONSTANT FINAL)
    Q_PROPERTY(bool busy READ busy NOTIFY changed FINAL)
    Q_PROPERTY(bool done READ done NOTIFY changed FINAL)
    Q_PROPERTY(QString sentence READ sentence NOTIFY changed FINAL)
    Q_PROPERTY(QString heard READ heard NOTIFY changed FINAL)
    Q_PROPERTY(QString mend READ mend NOTIFY changed FINAL)
    Q_PROPERTY(QString minutes READ minutes NOTIFY changed FINAL)
public:
    explicit PortCheckModel(QObject* parent = nullptr);
    void set(const PortSeen& seen);
    /// Nothing was found out: another port, another job, or a refusal.
    void forget();

    RowsModel* steps() { return &steps_; } ///< id, mark, label_text
    bool busy() const { return busy_; }
    bool done() const { return !seen_.steps.empty(); }
    QString sentence() const;
    /// "9 600 bytes, 0 whole frames"
    QString heard() const;
    QString mend() const;
    /// "2 min"
    QString minutes() const;

    Q_INVOKABLE void check();

signals:
    void changed();
    void check_asked();

private:
    const PortStepSeen* gap() const;
    RowsModel steps_;
    PortSeen seen_;
    bool busy_ = false;
};

} // namespace chockside::models
