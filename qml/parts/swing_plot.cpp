#include "swing_plot.h"
#include "figure_font.h"

#include <QFontMetricsF>
#include <QPainterPath>
#include <QVariantMap>

#include <algorithm>
#include <cmath>

namespace chockside::parts {

struct SwingPlot::Frame {
    QRectF plot;
    double bottom_line, span, from;
    double x(double heading) const { return plot.left() + (heading - from) / 360 * plot.width(); }
    double y(double deviation) const { return plot.center().y() - deviation / span * plot.height() / 2; }
};

namespace {

double value(const QVariant& row, const char* key) { return row.toMap()[QLatin1String(key)].toDouble(); }

QFont figures(int px)
{
    QFont font(theme::figure_family());
    font.setPixelSize(px);
    return font;
}

QString signed_text(int degrees) { return degrees == 0 ? QStringLiteral("0") : (degrees > 0 ? QStringLiteral("+") : QString(QChar(0x2212))) + QString::number(std::abs(degrees)); }

} // namespace

SwingPlot::Frame SwingPlot::frame() const
{
    double widest = tolerance_ > 0 ? tolerance_ * 1.5 : 1;
    for (const QVariant& p : points_) widest = std::max(widest, std::abs(value(p, "deviation")) * 1.15);
    const double left = text_px_ * 3.0, foot = text_px_ * 2.6;
    // Points at 000 stand half a step in from the edge, so every heading has its piece of the line below it.
    return {QRectF(left, 2, width() - left - mm(1.6), height() - foot - 4), height() - foot + text_px_ * 0.5, widest, -180.0 / std::max(1, wanted_)};
}

void SwingPlot::paint_zones(QPainter& p, const Frame& f) const
{
    if (tolerance_ <= 0) return;
    for (double side : {1.0, -1.0}) {
        const double edge = f.y(side * tolerance_);
        const QRectF zone = side > 0 ? QRectF(f.plot.left(), f.plot.top(), f.plot.width(), edge - f.plot.top())
                                     : QRectF(f.plot.left(), edge, f.plot.width(), f.plot.bottom() - edge);
        p.save();
        p.setClipRect(zone);
        p.setPen(QPen(ink("edge"), mm(0.18)));
        for (double x = zone.left() - zone.height(); x < zone.right(); x += mm(1.9)) p.drawLine(QPointF(x, zone.bottom()), QPointF(x + zone.height(), zone.top()));
        p.restore();
        p.setPen(QPen(ink("line"), mm(0.6)));
        p.drawLine(QPointF(f.plot.left(), edge), QPointF(f.plot.right(), edge));
    }
}

void SwingPlot::paint_axis(QPainter& p, const Frame& f) const
{
    p.setFont(figures(text_px_));
    const int step = std::max(1, static_cast<int>(std::ceil(f.span / 4)));
    for (int degrees = -step * 4; degrees <= step * 4; degrees += step) {
        if (std::abs(degrees) > f.span * 0.88) continue;
        p.setPen(ink("ink"));
        p.drawText(QRectF(0, f.y(degrees) - text_px_, f.plot.left() - mm(1.6), text_px_ * 2), Qt::AlignRight | Qt::AlignVCenter, signed_text(degrees));
    }
    p.setPen(QPen(ink("edge"), mm(0.25)));
    p.drawLine(QPointF(f.plot.left(), f.y(0)), QPointF(f.plot.right(), f.y(0)));
}

void SwingPlot::paint_band(QPainter& p, const Frame& f) const
{
    if (band_.size() < 2) return;
    QPolygonF area, curve;
    const auto wrapped = [&](const QVariant& row) { const double h = value(row, "heading"); return h > 360 + f.from ? h - 360 : h; };
    QVariantList rows = band_;
    std::sort(rows.begin(), rows.end(), [&](const QVariant& a, const QVariant& b) { return wrapped(a) < wrapped(b); });
    for (const QVariant& row : rows) {
        area << QPointF(f.x(wrapped(row)), f.y(value(row, "upper")));
        curve << QPointF(f.x(wrapped(row)), f.y(value(row, "value")));
    }
    for (auto it = rows.rbegin(); it != rows.rend(); ++it) area << QPointF(f.x(wrapped(*it)), f.y(value(*it, "lower")));
    p.save();
    p.setClipRect(f.plot);
    p.setPen(QPen(ink("edge"), mm(0.3)));
    p.setBrush(ink("sunk"));
    p.drawPolygon(area);
    p.setPen(QPen(ink("line"), mm(0.5)));
    p.drawPolyline(curve);
    p.restore();
}

void SwingPlot::paint_points(QPainter& p, const Frame& f) const
{
    for (const QVariant& row : points_) {
        const double heading = value(row, "heading");
        const QPointF at(f.x(heading > 360 + f.from ? heading - 360 : heading), f.y(value(row, "deviation")));
        p.setPen(QPen(ink("line"), mm(0.45)));
        p.drawLine(at - QPointF(0, mm(2.4)), at + QPointF(0, mm(2.4)));
        if (row.toMap()["outlier"].toBool()) {
            paint_drawing(p, theme::tokens().marks.value("fail"), QRectF(at.x() - mm(2), at.y() - mm(2), mm(4), mm(4)), ink("ink"));
            continue;
        }
        p.setPen(QPen(ink("line"), mm(0.55)));
        p.setBrush(ink("panel"));
        p.drawEllipse(at, mm(1.45), mm(1.45));
    }
}

void SwingPlot::paint_progress(QPainter& p, const Frame& f) const
{
    const int n = std::max(1, wanted_);
    const double step = f.plot.width() / n;
    for (int i = 0; i < n; ++i) {
        const double heading = 360.0 / n * i;
        const bool taken = std::any_of(points_.begin(), points_.end(), [&](const QVariant& row) {
            return std::abs(std::remainder(value(row, "heading") - heading, 360)) < 180.0 / n;
        });
        const QRectF piece(f.plot.left() + step * i + 1, f.bottom_line - mm(0.95), step - 2, mm(1.9));
        p.setPen(taken ? Qt::NoPen : QPen(ink("line"), mm(0.3)));
        p.setBrush(taken ? QBrush(ink("line")) : QBrush(Qt::NoBrush));
        p.drawRect(taken ? piece : piece.adjusted(1, 1, -1, -1));
        if (n > 8 && i % 2) continue;
        p.setPen(ink("ink"));
        p.setFont(figures(text_px_));
        p.drawText(QRectF(piece.center().x() - text_px_ * 2, f.bottom_line + text_px_ * 0.5, text_px_ * 4, text_px_ * 1.6), Qt::AlignCenter,
                   QString("%1").arg(static_cast<int>(std::lround(heading)), 3, 10, QChar('0')));
    }
}

void SwingPlot::paint_next(QPainter& p, const Frame& f) const
{
    if (next_ < 0) return;
    const double x = f.x(next_ > 360 + f.from ? next_ - 360 : next_);
    p.setPen(QPen(ink("recordInk"), mm(0.6), Qt::DashLine));
    p.drawLine(QPointF(x, f.plot.top()), QPointF(x, f.plot.bottom()));
    QFont bold("Inter");
    bold.setPixelSize(text_px_);
    bold.setWeight(QFont::Bold);
    p.setFont(bold);
    const QString text = tr("next %1").arg(static_cast<int>(std::lround(next_)), 3, 10, QChar('0'));
    const double w = QFontMetricsF(bold).horizontalAdvance(text) + text_px_ * 1.4;
    const QRectF tag(std::clamp(x - w / 2, f.plot.left(), f.plot.right() - w), f.plot.bottom() - text_px_ * 1.7, w, text_px_ * 1.6);
    p.fillRect(tag, ink("record"));
    p.setPen(ink("onRecord"));
    p.drawText(tag, Qt::AlignCenter, text);
}

void SwingPlot::paint(QPainter* painter)
{
    QPainter& p = *painter;
    p.setRenderHint(QPainter::Antialiasing);
    const Frame f = frame();
    paint_zones(p, f);
    paint_band(p, f);
    paint_axis(p, f);
    paint_points(p, f);
    paint_progress(p, f);
    paint_next(p, f);
}

} // namespace chockside::parts
