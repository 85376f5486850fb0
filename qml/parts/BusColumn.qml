// One bus with its breakers: a position is seen as a circuit; tag and time only on those that are not in.
pragma ComponentBehavior: Bound
import QtQuick
import Chockside.Theme
import Chockside.Parts

Column {
    id: bus
    property string title
    property var breakers: []
    property real room: 0
    property int most: breakers.length
    readonly property real step: Math.max(Type.floor * 2.5 + 7.6 * Metrics.mm, Math.min(Type.floor * 3.1 + 7 * Metrics.mm, (room - 8 * Metrics.mm) / Math.max(1, most)))

    Words { text: bus.title; bold: true; font.pixelSize: Type.label; bottomPadding: 1 * Metrics.mm }
    Item {
        width: bus.width
        height: rows.height
        Rectangle { width: 1.9 * Metrics.mm; height: Math.max(0, rows.height - bus.step * 0.58); color: Palette.line }
        Column {
            id: rows
            x: 1.9 * Metrics.mm
            width: parent.width - x
            Repeater {
                model: bus.breakers
                Item {
                    id: one
                    required property var modelData
                    readonly property bool out: modelData.state !== "in" && modelData.state !== "unknown"
                    width: rows.width
                    height: bus.step
                    Accessible.role: Accessible.ListItem
                    Accessible.name: modelData.label + ", " + modelData.panel + ", " + (modelData.contested ? qsTr("disputed") + ", " : "") + modelData.word + (out && modelData.since !== "" ? ", " + modelData.since : "") + (modelData.tag === "" ? "" : ", " + qsTr("tag %1").arg(modelData.tag))
                    BreakerLine { width: parent.width; height: 6.2 * Metrics.mm; state: one.modelData.state }
                    Words { id: label; x: 2.2 * Metrics.mm; y: 7.4 * Metrics.mm; text: one.modelData.label; bold: true; wrapMode: Text.NoWrap }
                    Rectangle {
                        visible: one.modelData.tag !== ""
                        anchors { right: parent.right; verticalCenter: label.verticalCenter }
                        width: tag.width + 2.4 * Metrics.mm
                        height: label.height
                        color: Palette.tile
                        radius: 1 * Metrics.mm
                        Text { id: tag; anchors.centerIn: parent; text: one.modelData.tag; color: Palette.onTile; font.family: Type.code; font.pixelSize: Type.floor }
                    }
                    Words { visible: !one.out; anchors { right: parent.right; baseline: label.baseline } text: one.modelData.word; wrapMode: Text.NoWrap; width: Math.min(implicitWidth, parent.width - label.width - 4 * Metrics.mm); elide: Text.ElideRight }
                    Figures { visible: !one.out; x: 2.2 * Metrics.mm; anchors.top: label.bottom; second: true; text: one.modelData.panel }
                    Words { visible: one.out; x: 2.2 * Metrics.mm; anchors.top: label.bottom; text: one.modelData.contested ? qsTr("Disputed") : one.modelData.word; bold: true; wrapMode: Text.NoWrap }
                    Figures { visible: one.out; anchors { right: parent.right; top: label.bottom } text: one.modelData.since }
                }
            }
        }
    }
}
