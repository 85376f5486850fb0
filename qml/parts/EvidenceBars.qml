// What speaks for and against the leading place: bars both ways from one axis, hollow is against.
pragma ComponentBehavior: Bound
import QtQuick
import Chockside.Theme
import Chockside.Parts

Column {
    id: root
    required property var evidence
    property string about
    property bool phone: false
    property int limit: 99
    readonly property real axis: width * (phone ? 0.72 : 0.66)
    readonly property real reach: phone ? 8 * Metrics.mm : 20.6 * Metrics.mm

    Item {
        width: parent.width
        height: head.height + 0.8 * Metrics.mm
        Words { id: head; text: root.about === "" ? qsTr("Evidence") : qsTr("Evidence for %1").arg(root.about); bold: true; font.pixelSize: Type.label; width: Math.min(implicitWidth, root.phone ? root.width : root.axis - 22 * Metrics.mm) }
        Words { visible: !root.phone; second: true; text: qsTr("against"); x: root.axis - width - 3.2 * Metrics.mm; anchors.baseline: head.baseline; wrapMode: Text.NoWrap }
        Words { visible: !root.phone; second: true; text: qsTr("for, times likelier"); x: root.axis + 1 * Metrics.mm; anchors.baseline: head.baseline; wrapMode: Text.NoWrap }
    }
    Repeater {
        model: root.evidence
        Item {
            id: line
            required property string text
            required property real length
            required property string factor
            required property int index
            visible: index < root.limit
            width: root.width
            height: Math.max(5.6 * Metrics.mm, said.implicitHeight + 0.8 * Metrics.mm)
            Accessible.role: Accessible.StaticText
            Accessible.name: text + ", " + factor
            Words { id: said; width: root.axis - (root.phone ? 1 : 4.4) * Metrics.mm; anchors.verticalCenter: parent.verticalCenter; text: line.text; maximumLineCount: 2; elide: Text.ElideRight }
            Rectangle { x: root.axis; width: Metrics.border; height: parent.height * 0.72; anchors.verticalCenter: parent.verticalCenter; color: Palette.ink }
            Rectangle {
                anchors.verticalCenter: parent.verticalCenter
                height: 2.4 * Metrics.mm
                width: Math.max(line.length === 0 ? 0 : 0.6 * Metrics.mm, Math.abs(line.length) * root.reach)
                x: line.length < 0 ? root.axis - width : root.axis + Metrics.border
                color: line.length < 0 ? "transparent" : Palette.ink
                border { color: Palette.ink; width: Metrics.hairline }
            }
            Figures { anchors { right: parent.right; verticalCenter: parent.verticalCenter } text: line.factor }
            Rule { anchors.bottom: parent.bottom; width: parent.width; visible: line.index < root.evidence.count - 1 }
        }
    }
}
