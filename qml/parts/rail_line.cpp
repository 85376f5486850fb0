#include "rail_line.h"

#include <QVariantMap>

namespace chockside::parts {

namespace {

LinePiece piece_of(const QString& state, double filled)
{
    return {state == "solid" || (state == "gap" && filled >= 1), state == "gap", filled};
}

} // namespace

// Standing: x runs downwards along the cell after a quarter turn, so the lever leans to the left, and the wedge stands to the right.
void RailLine::paint_along(QPainter& p, double length, double axis, double side)
{
    LineLook look;
    look.thickness = mm(thickness_);
    look.joint = mm(0.3);
    look.hollow = mm(0.4);
    look.gap = mm(4.1);
    look.lever = mm(0.7);
    look.angle = 36;
    look.from_far = standing_;
    look.line = ink("line");
    look.ground = ground_;
    p.translate(0, axis);
    paint_piece(p, piece_of(state_, filled_), 0, length, look);
    if (!here_) return;
    const double base = mm(standing_ ? 5.9 : 4.4), room = side - look.thickness / 2;
    p.setPen(Qt::NoPen);
    p.setBrush(look.line);
    const double depth = std::min(base * (standing_ ? 0.55 : 0.6), room), top = look.thickness / 2 + mm(0.3);
    const double end = standing_ ? length / 2 + mm(3) : length - mm(0.8);
    if (standing_) p.drawPolygon(QPolygonF({QPointF(end - base, top), QPointF(end, top), QPointF(end, top + depth)}));
    else p.drawPolygon(QPolygonF({QPointF(end, top), QPointF(end, top + depth), QPointF(end - base, top + depth)}));
}

void RailLine::paint(QPainter* painter)
{
    QPainter& p = *painter;
    p.setRenderHint(QPainter::Antialiasing);
    if (!standing_) {
        paint_along(p, width(), height() * 0.45, height() * 0.55);
        return;
    }
    // A quarter turn maps (along, across) to (right to left, down); mirrored flips the sides for the left hand.
    p.translate(mirrored_ ? width() : 0, 0);
    if (mirrored_) p.scale(-1, 1);
    p.setTransform(QTransform(0, 1, 1, 0, 0, 0), true);
    paint_along(p, height(), width() * 0.43, width() * 0.57);
}

void StageLine::paint(QPainter* painter)
{
    QPainter& p = *painter;
    p.setRenderHint(QPainter::Antialiasing);
    if (pieces_.isEmpty()) return;
    LineLook look;
    look.thickness = mm(1.9);
    look.joint = mm(0.4);
    look.hollow = mm(0.35);
    look.gap = mm(3.2);
    look.lever = mm(0.7);
    look.line = ink("line");
    look.ground = Qt::transparent;
    const double step = width() / double(pieces_.size());
    p.translate(0, wedge_ ? height() * 0.45 : height() - look.thickness / 2 - 1);
    for (qsizetype i = 0; i < pieces_.size(); ++i) {
        const QVariantMap piece = pieces_[i].toMap();
        paint_piece(p, piece_of(piece["state"].toString(), piece["filled"].toDouble()), step * double(i), step * double(i + 1), look);
        if (!wedge_ || !piece["here"].toBool()) continue;
        const double end = step * double(i + 1) - mm(1), top = look.thickness / 2 + mm(0.6), base = mm(5.6);
        p.setPen(Qt::NoPen);
        p.setBrush(look.line);
        p.drawPolygon(QPolygonF({QPointF(end, top), QPointF(end, top + mm(2.3)), QPointF(end - base, top + mm(2.3))}));
    }
}

} // namespace chockside::parts
