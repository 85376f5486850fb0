#include "mark.h"

#include <QHash>

namespace chockside::parts {

namespace {

QRectF square(double width, double height)
{
    const double side = std::min(width, height);
    return {(width - side) / 2, (height - side) / 2, side, side};
}

} // namespace

QString Mark::word() const
{
    static const QHash<QString, const char*> words{
        {"good", QT_TR_NOOP("good")}, {"fail", QT_TR_NOOP("not good")}, {"attn", QT_TR_NOOP("attention")}, {"unver", QT_TR_NOOP("not proven")},
        {"stop", QT_TR_NOOP("stop")}, {"open", QT_TR_NOOP("open")}, {"closed", QT_TR_NOOP("closed")}, {"collared", QT_TR_NOOP("collared")},
        {"tripped", QT_TR_NOOP("tripped")}, {"none", QT_TR_NOOP("not looked at")}, {"run", QT_TR_NOOP("at work")}, {"defer", QT_TR_NOOP("deferred")},
        {"info", QT_TR_NOOP("advice")}};
    const auto at = words.constFind(name_);
    return at == words.constEnd() ? QString() : tr(*at);
}

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
