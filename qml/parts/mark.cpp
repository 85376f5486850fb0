#include "mark.h"

namespace chockside::parts {

namespace {

QRectF square(double width, double height)
{
    const double side = std::min(width, height);
    return {(width - side) / 2, (height - side) / 2, side, side};
}

} // namespace

void Mark::paint(QPainter* painter)
{
    painter->setRenderHint(QPainter::Antialiasing);
    paint_drawing(*painter, theme::tokens().marks.value(name_), square(width(), height()), ink("ink"));
}

void Icon::paint(QPainter* painter)
{
    painter->setRenderHint(QPainter::Antialiasing);
    const auto& t = theme::tokens();
    auto drawing = t.icons.contains(name_) ? t.icons.value(name_) : t.marks.value(name_);
    for (auto& stroke : drawing) {
        if (stroke.fill == "ink") stroke.fill = "currentColor";
        if (stroke.stroke == "ink") stroke.stroke = "currentColor";
        if (stroke.fill == "panel") stroke.fill = "none";
    }
    paint_drawing(*painter, drawing, square(width(), height()), color_);
}

} // namespace chockside::parts
