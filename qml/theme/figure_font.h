#pragma once

#include <QString>

namespace chockside::theme {

/// Family of the figures: B612 with its narrow colon and point. Its mono sister also answers to the name "B612" and, in Qt 6.4, hides
/// the regular face; so the face is loaded under a name of its own, in memory only. "B612" where its file is not found.
QString figure_family();

} // namespace chockside::theme
