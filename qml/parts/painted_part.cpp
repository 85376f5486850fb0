#include "painted_part.h"

#include <algorithm>

namespace chockside::parts {

PaintedPart::PaintedPart(QQuickItem* parent) : QQuickPaintedItem(parent)
{
    setAntialiasing(true);
    connect(theme::Palette::instance(), &theme::Palette::changed, this, [this] { update(); });
    connect(theme::Metrics::instance(), &theme::Metrics::changed, this, [this] { update(); });
}

void paint_drawing(QPainter& painter, const theme::Drawing& drawing, const QRectF& box, const QColor& current, double grid)
{
    const auto colour = [&](const QString& name) { return name == "currentColor" ? current : theme::Palette::instance()->now(name); };
    painter.save();
    painter.translate(box.topLeft());
    const double scale = std::min(box.width(), box.height()) / grid;
    painter.scale(scale, scale);
    for (const theme::Stroke& s : drawing) {
        painter.setBrush(s.fill == "none" ? Qt::NoBrush : QBrush(colour(s.fill)));
        QPen pen(Qt::NoPen);
        if (s.stroke != "none") {
            pen = QPen(colour(s.stroke), s.width, Qt::SolidLine, Qt::FlatCap, Qt::MiterJoin);
            QList<qreal> pattern;
            for (double d : s.dashes) pattern.append(d / s.width);
            if (!pattern.isEmpty()) pen.setDashPattern(pattern);
        }
        painter.setPen(pen);
        painter.drawPath(s.path);
    }
    painter.restore();
}

} // namespace chockside::parts
