// What a check costs: own minutes, access, power solid; coming back to warm hollow.
pragma ComponentBehavior: Bound
import QtQuick
import Chockside.Theme
import Chockside.Parts

Item {
    id: root
    property real own: 0
    property real access: 0
    property real power: 0
    property real warm: 0
    readonly property real sum: Math.max(0.1, own + access + power + warm)
    readonly property var parts: [{m: own, solid: true}, {m: access, solid: true}, {m: power, solid: true}, {m: warm, solid: false}].filter(part => part.m > 0)

    implicitHeight: Type.floor * 1.25 + 2.2 * Metrics.mm
    Accessible.role: Accessible.StaticText
    Accessible.name: qsTr("%1 minutes own work, %2 access, %3 power, %4 to be warm again").arg(own).arg(access).arg(power).arg(warm)
    Row {
        anchors.fill: parent
        Repeater {
            model: root.parts
            Item {
                id: piece
                required property var modelData
                width: root.width * modelData.m / root.sum
                height: root.height
                Figures { anchors.horizontalCenter: parent.horizontalCenter; text: Math.round(piece.modelData.m); visible: piece.width > width }
                Rectangle {
                    anchors.bottom: parent.bottom
                    width: parent.width - Metrics.hairline
                    height: 1.9 * Metrics.mm
                    color: piece.modelData.solid ? Palette.line : "transparent"
                    border { color: Palette.line; width: Metrics.hairline }
                }
            }
        }
    }
}
