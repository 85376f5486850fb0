// One open thing of the aircraft, on the line that stands on end: last out, first back.
pragma ComponentBehavior: Bound
import QtQuick
import Chockside.Theme
import Chockside.Parts

Item {
    id: row
    property string icon
    property string title
    property string detail
    property string word
    property string mark
    property bool here: false
    property bool phone: false

    implicitHeight: Math.max((here ? 17 : 10.4) * Metrics.mm, lines.implicitHeight + 2 * Metrics.mm)
    Accessible.role: Accessible.ListItem
    Accessible.name: [title, row.word === "" ? sign.word : row.word, detail].filter(part => part !== "").join(", ")
    RailLine {
        width: 8.8 * Metrics.mm
        height: parent.height
        state: row.mark === "none" ? "hollow" : row.mark === "good" ? "solid" : "gap"
        filled: row.mark === "none" ? 0 : 1
        here: row.here
    }
    Icon { id: icon; name: row.icon === "" ? "tool" : row.icon; color: Palette.ink; width: 4.8 * Metrics.mm; height: width; x: 11.1 * Metrics.mm; anchors.verticalCenter: parent.verticalCenter }
    Column {
        id: lines
        anchors { left: icon.right; leftMargin: 2.2 * Metrics.mm; right: end.left; rightMargin: 2 * Metrics.mm; verticalCenter: parent.verticalCenter }
        Words { width: parent.width; text: row.title; bold: true; font.pixelSize: row.phone ? Type.label : row.here ? Type.sentence : Type.row }
        Words { width: parent.width; visible: text !== ""; text: row.detail }
    }
    Row {
        id: end
        spacing: 2.4 * Metrics.mm
        anchors { right: parent.right; verticalCenter: parent.verticalCenter }
        Words { visible: !row.phone; text: row.word; wrapMode: Text.NoWrap; anchors.verticalCenter: parent.verticalCenter }
        Mark { id: sign; name: row.mark; width: 5 * Metrics.mm; height: width; anchors.verticalCenter: parent.verticalCenter }
    }
    Rule { anchors.bottom: parent.bottom; x: 11.1 * Metrics.mm; width: parent.width - x }
}
