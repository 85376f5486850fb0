#pragma once

#include <core/job/view.h>

#include <QColor>
#include <QRectF>

class QPainter;

namespace chockside::paint {

struct SwingColours {
    QColor ink, edge, band, point_fill;
};

/// Deviation over heading with its simultaneous band, hatched zones beyond the tolerance, points and cut-free axes. One code for screen
/// and paper; `pen` is the width of the heavy line in the painter's units, text uses the painter's font.
void paint_swing(QPainter&, const QRectF& area, const job::SwingView&, const SwingColours&, double pen);

} // namespace chockside::paint
