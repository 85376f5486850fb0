// One thing that the work owes: what, by what rule, who, how long.
pragma ComponentBehavior: Bound
import QtQuick
import Chockside.Theme
import Chockside.Parts

Item {
    id: row
    property string title
    property string rule
    property string who
    property string word
    property string mark
    property string minutes
    property bool phone: false

    implicitHeight: Math.max(9.6 * Metrics.mm, main.implicitHeight + 2 * Metrics.mm)
    Accessible.role: Accessible.ListItem
    Accessible.name: title + ", " + word
    Mark { id: sign; name: row.mark; width: 5.1 * Metrics.mm; height: width; anchors.verticalCenter: parent.verticalCenter }
    Column {
        id: main
        anchors { left: sign.right; leftMargin: 2.4 * Metrics.mm; right: side.left; rightMargin: 2 * Metrics.mm; verticalCenter: parent.verticalCenter }
        Words { width: parent.width; text: row.title; bold: true; font.pixelSize: Type.label }
        Words { width: parent.width; visible: text !== ""; text: row.phone ? row.rule : row.minutes === "" ? row.word : row.minutes + " min" + (row.word === "" ? "" : ", " + row.word) }
    }
    Column {
        id: side
        width: row.phone ? Math.min(implicitWidth, 18 * Metrics.mm) : Math.min(implicitWidth, row.width * 0.42)
        anchors { right: parent.right; verticalCenter: parent.verticalCenter }
        Words { anchors.right: parent.right; text: row.who; wrapMode: Text.NoWrap }
        Words { visible: !row.phone; anchors.right: parent.right; second: true; text: row.rule; wrapMode: Text.NoWrap; elide: Text.ElideRight; width: Math.min(implicitWidth, row.width * 0.42) }
    }
    Rule { anchors.bottom: parent.bottom; width: parent.width }
}
