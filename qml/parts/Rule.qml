// A rule between rows.
import QtQuick
import Chockside.Theme
import Chockside.Parts

Rectangle {
    property bool heavy: false

    height: heavy ? Math.round(0.6 * Metrics.mm) : Metrics.hairline
    color: heavy ? Palette.ink : Palette.edge
}
