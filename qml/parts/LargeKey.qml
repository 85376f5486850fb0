// The next entry, not yet written. One per screen, last on the thread.
pragma ComponentBehavior: Bound
import QtQuick
import Chockside.Theme
import Chockside.Parts

Key {
    id: key
    property string small
    property string word
    readonly property color ink: waits ? Palette.ink : Palette.onRecord

    /// What the key belongs to. Just after it changed a tap does nothing: the second tap of a double tap was meant for what stood there before.
    property string about
    onAboutChanged: settling.restart()
    Timer { id: settling; interval: 350 }

    fresh: settling.running
    large: true
    label: word
    why: small
    readonly property real lines_height: lines.implicitHeight
    implicitHeight: Math.max(24 * Metrics.mm, lines.implicitHeight + 6.5 * Metrics.mm)
    Column {
        id: lines
        anchors { left: parent.left; right: parent.right; margins: 2.9 * Metrics.mm; verticalCenter: parent.verticalCenter }
        spacing: 0.6 * Metrics.mm
        Words {
            // Beside large text what the key writes gives way, but never why it waits.
            visible: text !== "" && (!Metrics.big || key.waits || key.armed)
            width: parent.width
            color: key.ink
            text: key.armed ? qsTr("Armed: press again") : key.small
        }
        Words {
            width: parent.width
            color: key.ink
            bold: true
            text: key.word
            font.pixelSize: key.word.length > (Metrics.big ? 24 : 46) ? Type.label : Type.large_key
            lineHeight: 1.12
        }
        Item { width: 1; height: 1 * Metrics.mm; visible: key.hold && !key.waits }
        Rectangle {
            visible: key.hold && !key.waits
            width: parent.width
            height: 2.7 * Metrics.mm
            color: "transparent"
            border { color: key.ink; width: Metrics.border }
            Rectangle {
                height: parent.height
                width: parent.width * (key.armed ? 0.5 : key.progress)
                color: key.ink
            }
        }
    }
}
