#include "breaker_line.h"

#include <algorithm>

namespace chockside::parts {

namespace {

struct Pen {
    QPainter& p;
    QColor line;
    double thick;
    void draw(double x1, double y1, double x2, double y2) { p.setPen(QPen(line, thick, Qt::SolidLine, Qt::FlatCap)); p.drawLine(QPointF(x1, y1), QPointF(x2, y2)); }
};

} // namespace

// The contact keeps its size while the line stretches with the column: gap from 0.42 of the width, as long as the lever needs.
void BreakerLine::paint(QPainter* painter)
{
    QPainter& p = *painter;
    p.setRenderHint(QPainter::Antialiasing);
    const double thick = mm(1.3), y = height() - thick, left = std::min(width() * 0.42, width() - mm(13)), gap = mm(10.2);
    Pen pen{p, ink("line"), thick};
    if (state_ == "unknown") {
        p.setPen(QPen(ink("line"), mm(0.4), Qt::DashLine));
        p.setBrush(Qt::NoBrush);
        p.drawRect(QRectF(1, y - thick / 2, width() - 2, thick));
        return;
    }
    if (state_ == "in") {
        pen.draw(0, y, width(), y);
        p.setPen(Qt::NoPen);
        p.setBrush(ink("line"));
        for (double x : {left, left + mm(8.9)}) p.drawEllipse(QPointF(x, y), mm(1.3), mm(1.3));
        return;
    }
    pen.draw(0, y, left, y);
    pen.draw(left + gap, y, width(), y);
    const bool fallen = state_ == "tripped";
    const QPointF tip(left + mm(8.6), fallen ? y + mm(4.3) : y - mm(4.3));
    if (fallen) p.translate(0, -mm(4.6));
    pen.draw(left - mm(0.2), y, tip.x(), tip.y());
    if (state_ == "collared") {
        p.save();
        p.translate((left + tip.x()) / 2, (y + tip.y()) / 2);
        p.rotate(-26.5);
        p.setPen(QPen(ink("line"), mm(0.55)));
        p.setBrush(ink("panel"));
        p.drawRoundedRect(QRectF(-mm(1.2), -mm(2.1), mm(2.4), mm(4.2)), mm(0.3), mm(0.3));
        p.restore();
    }
    if (fallen) paint_drawing(p, theme::tokens().marks.value("attn"), QRectF(left + gap - mm(0.6), y - mm(4.9), mm(4.6), mm(4.6)), ink("ink"));
}

void WaitRing::paint(QPainter* painter)
{
    QPainter& p = *painter;
    p.setRenderHint(QPainter::Antialiasing);
    const double heavy = std::min(mm(3.2), width() * 0.16), side = std::min(width(), height());
    const QRectF box((width() - side) / 2 + heavy / 2, (height() - side) / 2 + heavy / 2, side - heavy, side - heavy);
    p.setPen(QPen(ink("edge"), mm(0.45)));
    p.drawEllipse(box);
    p.setPen(QPen(ink("line"), heavy, Qt::SolidLine, Qt::FlatCap));
    p.drawArc(box, 90 * 16, static_cast<int>(-360 * 16 * std::clamp(fraction_, 0.0, 1.0)));
}

} // namespace chockside::parts
