#include <platform/paint/swing_painter.h>

#include <QFontMetricsF>
#include <QPainter>
#include <QPainterPath>

#include <algorithm>
#include <cmath>

namespace chockside::paint {

namespace {

struct Frame {
    QRectF plot;
    double top; ///< degrees at the upper edge; the lower is its negative
    double x(double heading) const { return plot.left() + plot.width() * heading / 360.0; }
    double y(double deg) const { return plot.center().y() - plot.height() / 2 * deg / top; }
};

double reach(const job::SwingView& s)
{
    double most = s.tolerance_deg ? *s.tolerance_deg * 1.35 : 1.0;
    for (const auto& b : s.band) most = std::max({most, std::abs(b[2]) * 1.1, std::abs(b[3]) * 1.1});
    for (const auto& p : s.points) most = std::max(most, std::abs(p.deviation_deg) * 1.1);
    return most;
}

QString signed_text(double v)
{
    const QString digits = QString::number(std::abs(v), 'f', std::abs(v) < 10 && std::floor(v) != v ? 1 : 0);
    return v > 0 ? "+" + digits : v < 0 ? QString(QChar(0x2212)) + digits : digits;
}

void axes(QPainter& p, const Frame& f, const job::SwingView& s, const SwingColours& c, double pen)
{
    const QFontMetricsF metrics(p.font(), p.device());
    p.setPen(QPen(c.edge, pen * 0.35));
    p.drawLine(QPointF(f.plot.left(), f.y(0)), QPointF(f.plot.right(), f.y(0)));
    p.setPen(c.ink);
    const double step = f.top > 6 ? 4 : f.top > 3 ? 2 : 1;
    for (double v = -std::floor(f.top / step) * step; v <= f.top; v += step) {
        const QString text = signed_text(v);
        p.drawText(QPointF(f.plot.left() - metrics.horizontalAdvance(text) - pen * 3, f.y(v) + metrics.ascent() * 0.38), text);
    }
    for (int h = 0; h <= 300; h += 60) {
        const QString text = QString("%1").arg(h, 3, 10, QChar('0'));
        p.drawText(QPointF(f.x(h) - (h ? metrics.horizontalAdvance(text) / 2 : 0), f.plot.bottom() + metrics.ascent() + pen * 2), text);
    }
    if (!s.tolerance_deg) return;
    const double limit = *s.tolerance_deg;
    for (const double side : {1.0, -1.0}) {
        const QRectF zone = QRectF(QPointF(f.plot.left(), f.y(side * limit)), QPointF(f.plot.right(), side > 0 ? f.plot.top() : f.plot.bottom())).normalized();
        p.fillRect(zone, QBrush(c.edge, Qt::BDiagPattern));
        p.setPen(QPen(c.ink, pen));
        p.drawLine(QPointF(f.plot.left(), f.y(side * limit)), QPointF(f.plot.right(), f.y(side * limit)));
    }
}

void band(QPainter& p, const Frame& f, const job::SwingView& s, const SwingColours& c, double pen)
{
    if (s.band.empty()) return;
    QPainterPath area, curve;
    for (std::size_t i = 0; i < s.band.size(); ++i) {
        const QPointF up(f.x(s.band[i][0]), f.y(s.band[i][3])), mid(f.x(s.band[i][0]), f.y(s.band[i][1]));
        i ? area.lineTo(up) : area.moveTo(up);
        i ? curve.lineTo(mid) : curve.moveTo(mid);
    }
    for (std::size_t i = s.band.size(); i-- > 0;) area.lineTo(f.x(s.band[i][0]), f.y(s.band[i][2]));
    area.closeSubpath();
    p.setPen(QPen(c.edge, pen * 0.5));
    p.setBrush(c.band);
    p.drawPath(area);
    p.setBrush(Qt::NoBrush);
    p.setPen(QPen(c.ink, pen * 0.9));
    p.drawPath(curve);
}

void points(QPainter& p, const Frame& f, const job::SwingView& s, const SwingColours& c, double pen)
{
    p.setPen(QPen(c.ink, pen * 0.8));
    p.setBrush(c.point_fill);
    for (const auto& pt : s.points) {
        const double heading = pt.indicated_deg < 0 ? pt.indicated_deg + 360 : std::fmod(pt.indicated_deg, 360.0);
        const QPointF at(f.x(heading), f.y(pt.deviation_deg));
        if (pt.outlier) p.drawRect(QRectF(at.x() - pen * 2, at.y() - pen * 2, pen * 4, pen * 4));
        else p.drawEllipse(at, pen * 2, pen * 2);
    }
}

} // namespace

void paint_swing(QPainter& p, const QRectF& area, const job::SwingView& s, const SwingColours& c, double pen)
{
    const QFontMetricsF metrics(p.font(), p.device());
    const double left = metrics.horizontalAdvance("+10") + pen * 6, below = metrics.height() + pen * 3;
    const Frame f{area.adjusted(left, pen, -pen * 2, -below), reach(s)};
    p.save();
    p.setRenderHint(QPainter::Antialiasing);
    axes(p, f, s, c, pen);
    p.setClipRect(f.plot.adjusted(-pen * 3, -pen, pen * 3, pen));
    band(p, f, s, c, pen);
    points(p, f, s, c, pen);
    p.restore();
}

} // namespace chockside::paint
