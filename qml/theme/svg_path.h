#pragma once
// Path data of SVG (W3C SVG 1.1, 8.3) for our own marks: M L H V C A Z in both cases, which is all that they use.

#include <QPainterPath>
#include <QString>

namespace chockside::theme {

/// The path of `data`; what follows a letter outside the set is left out.
QPainterPath svg_path(const QString& data);

} // namespace chockside::theme
