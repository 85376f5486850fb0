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

    readonly property bool slim: phone && Metrics.big

    implicitHeight: Math.max(9.6 * Metrics.mm, Math.max(main.implicitHeight, side.visible ? side.implicitHeight : 0) + 2 * Metrics.mm)
    Accessible.role: Accessible.ListItem
    Accessible.name: [title, row.word === "" ? sign.word : row.word, rule, who, minutes === "" ? "" : minutes + " min"].filter(part => part !== "").join(", ")
    Mark { id: sign; name: row.mark; width: 5.1 * Metrics.mm; height: width; anchors.verticalCenter: parent.verticalCenter }
    Column {
        id: main
        anchors { left: sign.right; leftMargin: 2.4 * Metrics.mm; right: row.slim ? parent.right : side.left; rightMargin: row.slim ? 0 : 2 * Metrics.mm; verticalCenter: parent.verticalCenter }
        Words { width: parent.width; text: row.title; bold: true; font.pixelSize: Type.label }
        Words { width: parent.width; visible: text !== ""; text: row.phone ? [row.rule, row.slim ? row.who : "", row.slim ? row.word : ""].filter(part => part !== "").join(", ") : row.minutes === "" ? row.word : row.minutes + " min" + (row.word === "" ? "" : ", " + row.word) }
    }
    Column {
        id: side
        visible: !row.slim
        width: row.phone ? Math.min(implicitWidth, 18 * Metrics.mm) : Math.min(implicitWidth, row.width * 0.42)
        anchors { right: parent.right; verticalCenter: parent.verticalCenter }
        Words { anchors.right: parent.right; text: row.who; wrapMode: Text.NoWrap }
        Words { visible: !row.phone; anchors.right: parent.right; second: true; text: row.rule; horizontalAlignment: Text.AlignRight; width: Math.min(implicitWidth, row.width * 0.42) }
    }
    Rule { anchors.bottom: parent.bottom; width: parent.width }
}
