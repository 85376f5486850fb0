// A reading against its limit: solid as far as it may go, the post is the limit, the wedge is the reading.
import QtQuick
import Chockside.Theme
import Chockside.Parts

Item {
    id: root
    property real place: 0
    property bool shown: false

    implicitHeight: 9 * Metrics.mm
    Rectangle { y: 2 * Metrics.mm; width: parent.width; height: 1.9 * Metrics.mm; color: "transparent"; border { color: Palette.line; width: Metrics.hairline } }
    Rectangle { y: 2 * Metrics.mm; width: parent.width * 0.24; height: 1.9 * Metrics.mm; color: Palette.line }
    Rectangle { x: parent.width * 0.24; width: 1 * Metrics.mm; height: 6 * Metrics.mm; color: Palette.line }
    Canvas {
        visible: root.shown
        width: 4.6 * Metrics.mm
        height: width
        y: 4.4 * Metrics.mm
        x: Math.max(0, Math.min(root.width - width, root.width * root.place - width))
        onPaint: {
            const c = getContext("2d")
            c.reset()
            c.fillStyle = Palette.line
            c.beginPath()
            c.moveTo(0, height)
            c.lineTo(width, height)
            c.lineTo(width, 0)
            c.fill()
        }
    }
}
