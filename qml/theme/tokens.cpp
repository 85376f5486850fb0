#include "tokens.h"
#include "svg_path.h"

#include <QFile>
#include <QJsonArray>
#include <QJsonDocument>
#include <QJsonObject>
#include <QTransform>

#include <cmath>

namespace chockside::theme {

namespace {

QPainterPath outline(const QJsonObject& o)
{
    const QString kind = o["kind"].toString();
    QPainterPath path;
    if (kind == "path") return svg_path(o["d"].toString());
    if (kind == "circle") {
        const double r = o["r"].toDouble();
        path.addEllipse(QPointF(o["cx"].toDouble(), o["cy"].toDouble()), r, r);
    }
    if (kind == "rect") {
        const double radius = o["rx"].toDouble();
        path.addRoundedRect(QRectF(o["x"].toDouble(), o["y"].toDouble(), o["width"].toDouble(), o["height"].toDouble()), radius, radius);
    }
    return path;
}

/// "rotate(45 11.9 11.6)"
QTransform turned(const QString& text)
{
    const QStringList numbers = QString(text).remove("rotate(").remove(')').split(' ', Qt::SkipEmptyParts);
    if (numbers.size() != 3) return {};
    QTransform t;
    t.translate(numbers[1].toDouble(), numbers[2].toDouble());
    t.rotate(numbers[0].toDouble());
    t.translate(-numbers[1].toDouble(), -numbers[2].toDouble());
    return t;
}

Stroke stroke_of(const QJsonObject& o)
{
    Stroke s;
    s.path = turned(o["transform"].toString()).map(outline(o));
    s.fill = o["fill"].toString("none");
    s.stroke = o["stroke"].toString("none");
    s.width = o["stroke-width"].toDouble(1);
    for (const QString& dash : o["stroke-dasharray"].toString().split(' ', Qt::SkipEmptyParts)) s.dashes.append(dash.toDouble());
    return s;
}

QHash<QString, Drawing> drawings(const QJsonObject& table)
{
    QHash<QString, Drawing> out;
    for (auto it = table.begin(); it != table.end(); ++it) {
        Drawing drawing;
        for (const auto& piece : it.value().toArray())
            if (piece.toObject()["kind"].toString() != "mark") drawing.append(stroke_of(piece.toObject()));
        out.insert(it.key(), drawing);
    }
    return out;
}

Tokens load()
{
    Tokens t;
    QFile file(":/chockside/tokens.json");
    if (!file.open(QIODevice::ReadOnly)) return t;
    const QJsonObject root = QJsonDocument::fromJson(file.readAll()).object();
    const char* names[] = {"day", "sun", "night"};
    for (int i = 0; i < 3; ++i) {
        const QJsonObject palette = root["palette"].toObject()[QLatin1String(names[i])].toObject();
        for (auto it = palette.begin(); it != palette.end(); ++it) t.palette[i].insert(it.key(), QColor(it.value().toString()));
    }
    const QJsonObject required = root["contrastRequired"].toObject();
    for (auto it = required.begin(); it != required.end(); ++it) t.contrast.append({it.key(), it.value().toDouble()});
    t.marks = drawings(root["marks"].toObject());
    t.icons = drawings(root["icons"].toObject());
    t.breakers = drawings(root["breakerStates"].toObject());
    return t;
}

double linear(double channel) { return channel <= 0.04045 ? channel / 12.92 : std::pow((channel + 0.055) / 1.055, 2.4); }

double luminance(const QColor& c) { return 0.2126 * linear(c.redF()) + 0.7152 * linear(c.greenF()) + 0.0722 * linear(c.blueF()); }

} // namespace

const Tokens& tokens()
{
    static const Tokens all = load();
    return all;
}

QColor colour(Light light, const QString& token) { return tokens().palette[static_cast<int>(light)].value(token, QColor(Qt::magenta)); }

double contrast(const QColor& a, const QColor& b)
{
    const double one = luminance(a) + 0.05, two = luminance(b) + 0.05;
    return one > two ? one / two : two / one;
}

} // namespace chockside::theme
