#pragma once
// Base of the drawn parts: a painted item (works on the software back end too) that repaints when theme or sizes change.

#include <QPainter>
#include <QQuickPaintedItem>

#include "metrics.h"
#include "palette.h"

namespace chockside::parts {

class PaintedPart : public QQuickPaintedItem {
    Q_OBJECT
public:
    explicit PaintedPart(QQuickItem* parent = nullptr);

protected:
    static QColor ink(const char* token) { return theme::Palette::instance()->now(QLatin1String(token)); }
    static double mm(double millimetres) { return millimetres * theme::Metrics::instance()->mm(); }

    template <class T>
    bool take(T& field, const T& value)
    {
        if (field == value) return false;
        field = value;
        update();
        return true;
    }
};

/// Paints one of the drawings of the token table into `box`.
void paint_drawing(QPainter& painter, const theme::Drawing& drawing, const QRectF& box, const QColor& current, double grid = 24);

} // namespace chockside::parts
