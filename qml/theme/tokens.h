#pragma once
// The design tokens, read once from the one table that the pictures were drawn with: colours of the three palettes and the paths
// of marks and icons.

#include <QColor>
#include <QHash>
#include <QList>
#include <QPainterPath>
#include <QString>

namespace chockside::theme {

enum class Light { day, sun, night };

/// One stroke or fill of a mark or icon, on a grid of 24. Colour names are tokens; "currentColor" is the text colour of the place.
struct Stroke {
    QPainterPath path;
    QString fill, stroke;
    double width = 0;
    QList<double> dashes; ///< in grid units
};
using Drawing = QList<Stroke>;

struct Tokens {
    QHash<QString, QColor> palette[3];
    QHash<QString, Drawing> marks, icons, breakers;
    QList<std::pair<QString, double>> contrast; ///< "ink/panel", least ratio
};

/// The tokens of this build. A table that does not parse is a build fault and leaves everything empty.
const Tokens& tokens();
QColor colour(Light light, const QString& token);
/// WCAG 2.2 contrast ratio, 1..21.
double contrast(const QColor& a, const QColor& b);

} // namespace chockside::theme
