#include "line_piece.h"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace chockside::parts {

namespace {

void solid(QPainter& p, double from, double to, const LineLook& look)
{
    if (to > from) p.fillRect(QRectF(from, -look.thickness / 2, to - from, look.thickness), look.line);
}

void hollow(QPainter& p, double from, double to, const LineLook& look)
{
    if (to - from < look.hollow) return;
    const double h = look.hollow / 2;
    p.setPen(QPen(look.line, look.hollow, Qt::SolidLine, Qt::FlatCap, Qt::MiterJoin));
    p.setBrush(look.ground);
    p.drawRect(QRectF(from + h, -look.thickness / 2 + h, to - from - look.hollow, look.thickness - look.hollow));
}

void shared(QPainter& p, double from, double to, double filled, const LineLook& look)
{
    const double cut = from + (to - from) * std::clamp(filled, 0.0, 1.0);
    if (cut < to) hollow(p, std::max(from, cut - look.hollow), to, look);
    solid(p, from, cut, look);
}

/// The lever rises from the near end of the gap, 60 degrees off the line.
void lever(QPainter& p, double foot, const LineLook& look)
{
    const double angle = 55 * std::numbers::pi / 180, length = look.gap * 0.92;
    p.setPen(QPen(look.line, look.lever, Qt::SolidLine, Qt::FlatCap));
    const QPointF from(foot, -look.thickness * 0.1);
    p.drawLine(from, from + QPointF(length * std::cos(angle), -length * std::sin(angle)));
}

} // namespace

void paint_piece(QPainter& p, const LinePiece& piece, double from, double to, const LineLook& look)
{
    const double end = to - look.joint;
    if (!piece.gap) {
        if (piece.solid) solid(p, from, end, look);
        else shared(p, from, end, piece.filled, look);
        return;
    }
    const double middle = (from + end) / 2, gap = std::min(look.gap, (end - from) * 0.5);
    const bool rest_solid = piece.solid || piece.filled > 0.5;
    solid(p, from, middle - gap / 2, look);
    if (rest_solid) solid(p, middle + gap / 2, end, look);
    else shared(p, middle + gap / 2, end, piece.filled, look);
    LineLook scaled = look;
    scaled.gap = gap;
    lever(p, middle - gap / 2, scaled);
}

} // namespace chockside::parts
