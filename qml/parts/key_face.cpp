#include "key_face.h"

#include <QPainterPath>

namespace chockside::parts {

namespace {

QPainterPath rounded(const QRectF& box, double radius)
{
    QPainterPath path;
    path.addRoundedRect(box, radius, radius);
    return path;
}

} // namespace

void KeyFace::paint(QPainter* painter)
{
    QPainter& p = *painter;
    p.setRenderHint(QPainter::Antialiasing);
    const bool sun = theme::Palette::instance()->is_sun();
    const double border = mm(sun ? 0.66 : 0.5), radius = mm(1.4), ring = mm(1.2), inset = focused_ ? 0 : 0;
    QRectF box = QRectF(0, 0, width(), height()).adjusted(border / 2 + inset, border / 2 + inset, -border / 2 - inset, -border / 2 - inset);
    if (focused_) {
        p.setPen(QPen(ink("ink"), mm(0.6)));
        p.setBrush(Qt::NoBrush);
        p.drawRoundedRect(QRectF(0, 0, width(), height()).adjusted(mm(0.3), mm(0.3), -mm(0.3), -mm(0.3)), radius + ring / 2, radius + ring / 2);
        box = box.adjusted(ring, ring, -ring, -ring);
    }
    if (waits_) {
        QPen dashed(ink("ink"), border, Qt::CustomDashLine, Qt::FlatCap);
        dashed.setDashPattern({2.2, 1.6});
        p.setPen(dashed);
        p.setBrush(ink("panel"));
        p.drawRoundedRect(box, radius, radius);
        return;
    }
    if (down_) box.translate(0, mm(0.5));
    const double foot = down_ ? 0 : mm(large_ ? 1.75 : 1.4);
    const QColor face = large_ ? ink("record") : chosen_ ? ink("sel") : mine_ ? ink("recordSoft") : ink("panel");
    const QPainterPath outline = rounded(box, radius);
    p.fillPath(outline, face);
    if (foot > 0 && !(chosen_ && !large_)) {
        p.save();
        p.setClipRect(QRectF(0, box.bottom() - foot, width(), foot + border));
        p.fillPath(outline, ink("foot"));
        p.restore();
    }
    if (chosen_ && !large_) p.fillRect(QRectF(box.left() + radius, box.top(), box.width() - 2 * radius, mm(0.7)), ink("foot"));
    p.setPen(QPen(ink("keyEdge"), border));
    p.setBrush(Qt::NoBrush);
    p.drawPath(outline);
}

void PracticeBand::paint(QPainter* painter)
{
    QPainter& p = *painter;
    p.setRenderHint(QPainter::Antialiasing);
    p.fillRect(QRectF(0, 0, width(), height()), ink("ground"));
    p.setPen(QPen(ink("ink"), mm(0.34)));
    for (double x = -height(); x < width() + height(); x += mm(2.2)) p.drawLine(QPointF(x, height()), QPointF(x + height() * 0.62, 0));
    p.setPen(QPen(ink("ink"), mm(0.25)));
    p.drawLine(QPointF(0, 0.5), QPointF(width(), 0.5));
    p.drawLine(QPointF(0, height() - 1), QPointF(width(), height() - 1));
}

} // namespace chockside::parts
