#pragma once
// A breaker as the circuit it is: bus at the left, contact, load at the right.

#include "painted_part.h"

namespace chockside::parts {

class BreakerLine : public PaintedPart {
    Q_OBJECT
    QML_ELEMENT
    Q_PROPERTY(QString state READ state WRITE set_state NOTIFY changed FINAL)
public:
    using PaintedPart::PaintedPart;
    QString state() const { return state_; }
    /// "in", "pulled", "collared", "tripped", "unknown" (drawn hollow)
    void set_state(const QString& v) { if (take(state_, v)) emit changed(); }
    void paint(QPainter* painter) override;

signals:
    void changed();

private:
    QString state_ = "in";
};

/// A wait: the line bent into a ring. `fraction` is the share that is over.
class WaitRing : public PaintedPart {
    Q_OBJECT
    QML_ELEMENT
    Q_PROPERTY(double fraction READ fraction WRITE set_fraction NOTIFY changed FINAL)
public:
    using PaintedPart::PaintedPart;
    double fraction() const { return fraction_; }
    void set_fraction(double v) { if (take(fraction_, v)) emit changed(); }
    void paint(QPainter* painter) override;

signals:
    void changed();

private:
    double fraction_ = 0;
};

} // namespace chockside::parts
