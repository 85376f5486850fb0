// Figures, point and delete (and minus, where a reading may be below zero) and the typed value above them, with its unit. The verdict
// against the limit shows while typing.
pragma ComponentBehavior: Bound
import QtQuick
import Chockside.Theme
import Chockside.Parts

Column {
    id: pad
    property string typed
    property string unit
    property string caption
    property string verdict
    property string verdictMark
    property bool phone: false
    property bool minus: false
    property real keyHeight: (phone ? 14.6 : 19.5) * Metrics.mm
    signal pressed(string key)

    spacing: 1.6 * Metrics.mm
    Rectangle {
        width: parent.width
        height: (pad.phone ? 10.4 : 15.6) * Metrics.mm
        color: Palette.panel
        border { color: Palette.ink; width: Math.round(0.7 * Metrics.mm) }
        Row {
            anchors { left: parent.left; leftMargin: 3 * Metrics.mm; verticalCenter: parent.verticalCenter }
            spacing: 1.6 * Metrics.mm
            Mark {
                visible: pad.phone && pad.verdictMark !== ""
                name: pad.verdictMark
                width: 5.1 * Metrics.mm
                height: width
                anchors.verticalCenter: parent.verticalCenter
            }
            Words {
                width: 17 * Metrics.mm
                second: true
                font.pixelSize: Math.round(3.3 * Metrics.mm)
                text: pad.phone && pad.verdict !== "" ? pad.verdict : pad.caption
                anchors.verticalCenter: parent.verticalCenter
                maximumLineCount: 2
            }
        }
        Row {
            anchors { right: parent.right; rightMargin: 3 * Metrics.mm; verticalCenter: parent.verticalCenter }
            spacing: 1.6 * Metrics.mm
            Figures { text: pad.typed.replace("-", "−"); font.pixelSize: Math.round((pad.phone ? 8 : 10.2) * Metrics.mm); anchors.verticalCenter: parent.verticalCenter }
            Rectangle { width: 0.7 * Metrics.mm; height: (pad.phone ? 6.6 : 9) * Metrics.mm; color: Palette.recordInk; anchors.verticalCenter: parent.verticalCenter }
            Words { text: pad.unit; font.pixelSize: Type.sentence; anchors.verticalCenter: parent.verticalCenter; wrapMode: Text.NoWrap }
        }
    }
    Repeater {
        model: [["1", "2", "3"], ["4", "5", "6"], ["7", "8", "9"], pad.minus ? ["-", ".", "0", "del"] : [".", "0", "del"]]
        Row {
            id: row
            required property var modelData
            spacing: 1.6 * Metrics.mm
            Repeater {
                model: row.modelData
                Key {
                    id: one
                    required property string modelData
                    objectName: "pad:" + modelData
                    label: modelData === "del" ? qsTr("Delete the last figure") : modelData === "." ? qsTr("Decimal point") : modelData === "-" ? qsTr("Minus") : modelData
                    width: (pad.width - (row.modelData.length - 1) * row.spacing) / row.modelData.length
                    height: pad.keyHeight
                    onActed: pad.pressed(modelData)
                    Figures {
                        visible: one.modelData !== "del"
                        anchors.centerIn: parent
                        text: one.modelData === "-" ? "−" : one.modelData
                        font.pixelSize: Math.round(7.4 * Metrics.mm)
                    }
                    Icon {
                        visible: one.modelData === "del"
                        anchors.centerIn: parent
                        name: "del"
                        color: Palette.ink
                        width: 6.6 * Metrics.mm
                        height: width
                    }
                }
            }
        }
    }
}
