#include "svg_path.h"

#include <cmath>
#include <numbers>

namespace chockside::theme {

namespace {

struct Reader {
    const QString& text;
    qsizetype at = 0;

    void blanks() { while (at < text.size() && (text[at].isSpace() || text[at] == ',')) ++at; }
    bool number_follows()
    {
        blanks();
        return at < text.size() && (text[at].isDigit() || text[at] == '-' || text[at] == '.' || text[at] == '+');
    }
    double number()
    {
        blanks();
        const qsizetype from = at;
        bool point = false;
        if (at < text.size() && (text[at] == '-' || text[at] == '+')) ++at;
        while (at < text.size() && (text[at].isDigit() || (text[at] == '.' && !point))) point |= text[at++] == '.';
        return text.mid(from, at - from).toDouble();
    }
    /// Arc flags may stand without a blank between them (8.3.9).
    bool flag()
    {
        blanks();
        return at < text.size() && text[at++] == '1';
    }
};

double angle(double ux, double uy, double vx, double vy) { return std::atan2(ux * vy - uy * vx, ux * vx + uy * vy); }

// Circle through two points, SVG 1.1 F.6.5 with rx = ry: centre from the half chord, sweep from the two angles.
void arc(QPainterPath& path, double r, bool large, bool sweep, QPointF to)
{
    const QPointF from = path.currentPosition(), half = (from - to) / 2, middle = (from + to) / 2;
    const double length2 = half.x() * half.x() + half.y() * half.y();
    r = std::max(r, std::sqrt(length2));
    const double k = (large == sweep ? -1 : 1) * std::sqrt(std::max(0.0, r * r / length2 - 1));
    const QPointF centre(middle.x() + k * half.y(), middle.y() - k * half.x());
    const QPointF u = from - centre, v = to - centre;
    double turn = angle(u.x(), u.y(), v.x(), v.y());
    if (sweep && turn < 0) turn += 2 * std::numbers::pi;
    if (!sweep && turn > 0) turn -= 2 * std::numbers::pi;
    const double degrees = 180 / std::numbers::pi;
    path.arcTo(QRectF(centre.x() - r, centre.y() - r, 2 * r, 2 * r), -std::atan2(u.y(), u.x()) * degrees, -turn * degrees);
}

void step(QPainterPath& path, Reader& r, QChar letter)
{
    const bool relative = letter.isLower();
    const QPointF here = path.currentPosition(), base = relative ? here : QPointF();
    const auto point = [&] { const double x = r.number(); return base + QPointF(x, r.number()); };
    switch (letter.toUpper().unicode()) {
    case 'L': path.lineTo(point()); break;
    case 'H': path.lineTo(base.x() + r.number(), here.y()); break;
    case 'V': path.lineTo(here.x(), base.y() + r.number()); break;
    case 'C': {
        const QPointF one = point(), two = point();
        path.cubicTo(one, two, point());
        break;
    }
    case 'A': {
        const double radius = r.number();
        r.number();
        r.number();
        const bool large = r.flag(), sweep = r.flag();
        arc(path, radius, large, sweep, point());
        break;
    }
    default: r.at = r.text.size();
    }
}

} // namespace

QPainterPath svg_path(const QString& data)
{
    QPainterPath path;
    Reader r{data};
    QPointF start;
    while (r.at < data.size()) {
        r.blanks();
        if (r.at >= data.size()) break;
        QChar letter = data[r.at++];
        if (letter.toUpper() == 'Z') {
            path.closeSubpath();
            path.moveTo(start);
            continue;
        }
        if (letter.toUpper() == 'M') {
            const QPointF base = letter == 'm' ? path.currentPosition() : QPointF();
            const double x = r.number();
            start = base + QPointF(x, r.number());
            path.moveTo(start);
            letter = letter == 'm' ? 'l' : 'L';
        }
        while (r.number_follows()) step(path, r, letter);
    }
    return path;
}

} // namespace chockside::theme
