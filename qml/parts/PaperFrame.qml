// A frame of 0.7 means paper: entry text, card, tag, placard. A tag has its hole.
import QtQuick
import Chockside.Theme
import Chockside.Parts

Rectangle {
    property bool tag: false

    color: Palette.panel
    radius: tag ? 3 * Metrics.mm : 0.6 * Metrics.mm
    border { color: Palette.ink; width: Math.round(0.7 * Metrics.mm) }
    Rectangle {
        visible: parent.tag
        x: 2.6 * Metrics.mm
        anchors.verticalCenter: parent.verticalCenter
        width: 4.4 * Metrics.mm
        height: width
        radius: width / 2
        color: "transparent"
        border { color: Palette.ink; width: Math.round(0.7 * Metrics.mm) }
    }
}
