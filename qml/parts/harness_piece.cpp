#include "harness_piece.h"

#include <QTransform>

namespace chockside::parts {

void HarnessPiece::wire(QPainter& p, double from, double to, double axis)
{
    const double thick = mm(1.7);
    p.setPen(QPen(ink("line"), mm(0.4), Qt::SolidLine, Qt::FlatCap, Qt::MiterJoin));
    p.setBrush(mark_ == "good" ? QBrush(ink("line")) : QBrush(Qt::NoBrush));
    p.drawRect(QRectF(from + mm(0.2), axis - thick / 2, to - from - mm(0.4), thick));
}

void HarnessPiece::paint(QPainter* painter)
{
    QPainter& p = *painter;
    p.setRenderHint(QPainter::Antialiasing);
    const double length = standing_ ? height() : width(), across = standing_ ? width() : height(), middle = length / 2, axis = across / 2;
    if (standing_) p.setTransform(QTransform(0, 1, 1, 0, 0, 0), true);
    const bool box = kind_ == "sensor" || kind_ == "unit";
    if (box) {
        const double half = standing_ ? std::min(across, length) / 2 - mm(0.3) : mm(5.9);
        if (!first_) wire(p, 0, middle - half, axis);
        if (!last_) wire(p, middle + half, length, axis);
        p.setPen(QPen(ink("line"), mm(0.5), Qt::SolidLine, Qt::FlatCap, Qt::MiterJoin));
        p.setBrush(ink("panel"));
        const double tall = standing_ ? half * 2 : mm(7.8);
        p.drawRect(QRectF(middle - half, axis - tall / 2, half * 2, tall));
    } else if (kind_ == "connector") {
        const double half = leading_ ? mm(standing_ ? 3.3 : 4.3) : mm(standing_ ? 1.2 : 1.9), tall = leading_ ? mm(standing_ ? 5.4 : 7.2) : mm(5.4);
        if (leading_) {
            wire(p, 0, middle - half, axis);
            wire(p, middle + half, length, axis);
        } else {
            wire(p, 0, length, axis);
        }
        p.setPen(QPen(ink("line"), mm(leading_ ? 1.0 : 0.65), Qt::SolidLine, Qt::FlatCap));
        for (double x : {middle - half, middle + half}) p.drawLine(QPointF(x, axis - tall / 2), QPointF(x, axis + tall / 2));
    } else {
        wire(p, 0, length, axis);
    }
    if (!leading_ || mark_.isEmpty() || mark_ == "none") return;
    const double side = mm(standing_ ? 5.4 : 6.3);
    if (standing_) p.resetTransform();
    const QPointF centre = standing_ ? QPointF(axis, middle) : QPointF(middle, axis);
    paint_drawing(p, theme::tokens().marks.value(mark_), QRectF(centre.x() - side / 2, centre.y() - side / 2, side, side), ink("ink"));
}

} // namespace chockside::parts
