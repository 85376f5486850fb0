#pragma once
// The heavy line of one stage cell (standing or lying), and the whole line of seven pieces for rows.

#include "line_piece.h"
#include "painted_part.h"

#include <QVariantList>

namespace chockside::parts {

class RailLine : public PaintedPart {
    Q_OBJECT
    QML_ELEMENT
    Q_PROPERTY(QString state READ state WRITE set_state NOTIFY changed FINAL)
    Q_PROPERTY(double filled READ filled WRITE set_filled NOTIFY changed FINAL)
    Q_PROPERTY(bool here READ here WRITE set_here NOTIFY changed FINAL)
    Q_PROPERTY(bool standing READ standing WRITE set_standing NOTIFY changed FINAL)
    Q_PROPERTY(bool mirrored READ mirrored WRITE set_mirrored NOTIFY changed FINAL)
    Q_PROPERTY(double thickness READ thickness WRITE set_thickness NOTIFY changed FINAL)
    Q_PROPERTY(QColor ground READ ground WRITE set_ground NOTIFY changed FINAL)
public:
    using PaintedPart::PaintedPart;
    QString state() const { return state_; }
    double filled() const { return filled_; }
    bool here() const { return here_; }
    bool standing() const { return standing_; }
    bool mirrored() const { return mirrored_; }
    double thickness() const { return thickness_; }
    QColor ground() const { return ground_; }
    /// "solid", "hollow", "gap" or "here"
    void set_state(const QString& v) { if (take(state_, v)) emit changed(); }
    void set_filled(double v) { if (take(filled_, v)) emit changed(); }
    void set_here(bool v) { if (take(here_, v)) emit changed(); }
    void set_standing(bool v) { if (take(standing_, v)) emit changed(); }
    void set_mirrored(bool v) { if (take(mirrored_, v)) emit changed(); }
    void set_thickness(double v) { if (take(thickness_, v)) emit changed(); }
    void set_ground(const QColor& v) { if (take(ground_, v)) emit changed(); }
    void paint(QPainter* painter) override;

signals:
    void changed();

private:
    void paint_along(QPainter& painter, double length, double axis, double side);
    QString state_ = "hollow";
    double filled_ = 0, thickness_ = 1.9;
    bool here_ = false, standing_ = true, mirrored_ = false;
    QColor ground_ = Qt::transparent;
};

/// All pieces lying in one row: [{state, filled, here}].
class StageLine : public PaintedPart {
    Q_OBJECT
    QML_ELEMENT
    Q_PROPERTY(QVariantList pieces READ pieces WRITE set_pieces NOTIFY changed FINAL)
    Q_PROPERTY(bool wedge READ wedge WRITE set_wedge NOTIFY changed FINAL)
public:
    using PaintedPart::PaintedPart;
    QVariantList pieces() const { return pieces_; }
    bool wedge() const { return wedge_; }
    void set_pieces(const QVariantList& v) { if (take(pieces_, v)) emit changed(); }
    void set_wedge(bool v) { if (take(wedge_, v)) emit changed(); }
    void paint(QPainter* painter) override;

signals:
    void changed();

private:
    QVariantList pieces_;
    bool wedge_ = false;
};

} // namespace chockside::parts
