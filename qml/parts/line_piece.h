#pragma once
// One piece of the line, lying or standing: solid is done, hollow is not yet, a gap with a raised lever is open. Pieces meet at a
// hairline joint.

#include <QPainter>

namespace chockside::parts {

struct LinePiece {
    bool solid = false;
    bool gap = false;
    double filled = 0;   ///< share of a hollow piece that is solid already, 0..1
};

struct LineLook {
    double thickness = 12, joint = 2, hollow = 2.5, gap = 26, lever = 4.4; ///< pixels
    double angle = 50;       ///< of the lever off the line, degrees
    bool from_far = false;   ///< the lever hangs at the far end and leans back over the gap
    QColor line, ground;
};

/// Along x from `from` to `to`, centred on y = 0, lever upwards. Standing lines rotate the painter.
void paint_piece(QPainter& painter, const LinePiece& piece, double from, double to, const LineLook& look);

} // namespace chockside::parts
