#pragma once
// One place of the harness between sensor and unit: a box, two contacts of a connector, or a piece of wire; lying or standing.

#include "painted_part.h"

namespace chockside::parts {

class HarnessPiece : public PaintedPart {
    Q_OBJECT
    QML_ELEMENT
    Q_PROPERTY(QString kind READ kind WRITE set_kind NOTIFY changed FINAL)
    Q_PROPERTY(QString mark READ mark WRITE set_mark NOTIFY changed FINAL)
    Q_PROPERTY(bool first READ first WRITE set_first NOTIFY changed FINAL)
    Q_PROPERTY(bool last READ last WRITE set_last NOTIFY changed FINAL)
    Q_PROPERTY(bool leading READ leading WRITE set_leading NOTIFY changed FINAL)
    Q_PROPERTY(bool standing READ standing WRITE set_standing NOTIFY changed FINAL)
public:
    using PaintedPart::PaintedPart;
    QString kind() const { return kind_; }
    QString mark() const { return mark_; }
    bool first() const { return first_; }
    bool last() const { return last_; }
    bool leading() const { return leading_; }
    bool standing() const { return standing_; }
    /// "sensor", "unit" (boxes), "connector", "segment"
    void set_kind(const QString& v) { if (take(kind_, v)) emit changed(); }
    void set_mark(const QString& v) { if (take(mark_, v)) emit changed(); }
    void set_first(bool v) { if (take(first_, v)) emit changed(); }
    void set_last(bool v) { if (take(last_, v)) emit changed(); }
    void set_leading(bool v) { if (take(leading_, v)) emit changed(); }
    void set_standing(bool v) { if (take(standing_, v)) emit changed(); }
    void paint(QPainter* painter) override;

signals:
    void changed();

private:
    void wire(QPainter& p, double from, double to, double axis);
    QString kind_ = "segment", mark_;
    bool first_ = false, last_ = false, leading_ = false, standing_ = false;
};

} // namespace chockside::parts
