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

/// The lever rises from one end of the gap.
void lever(QPainter& p, double near, double far, const LineLook& look)
{
    const double angle = look.angle * std::numbers::pi / 180, length = (far - near) * 1.1, along = length * std::cos(angle);
    p.setPen(QPen(look.line, look.lever, Qt::SolidLine, Qt::FlatCap));
    const QPointF foot(look.from_far ? far : near, -look.thickness * 0.1);
    p.drawLine(foot, foot + QPointF(look.from_far ? -along : along, -length * std::sin(angle)));
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
    lever(p, middle - gap / 2, middle + gap / 2, look);
}

} // namespace chockside::parts
