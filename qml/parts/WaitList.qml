// The waits of the unit: ended ones keep what restarts them.
pragma ComponentBehavior: Bound
import QtQuick
import Chockside.Theme
import Chockside.Parts

Column {
    id: root
    required property var waits

    Repeater {
        model: root.waits
        Item {
            id: wait
            required property string title
            required property string says
            required property string mark
            required property string ends
            required property int index
            width: root.width
            height: lines.height + 2 * Metrics.mm
            Accessible.role: Accessible.ListItem
            Accessible.name: title + ", " + ends + ", " + says
            Column {
                id: lines
                y: 1 * Metrics.mm
                width: parent.width
                Item {
                    width: parent.width
                    height: head.height
                    MarkWord { id: head; mark: wait.mark; word: wait.title; bold: true; spacing: 1.2 * Metrics.mm }
                    Figures { anchors { right: parent.right; verticalCenter: head.verticalCenter } text: wait.ends }
                }
                Words { width: parent.width; text: wait.says; second: true; visible: text !== "" }
            }
            Rule { anchors.bottom: parent.bottom; width: parent.width; visible: wait.index < root.waits.count - 1 }
        }
    }
}
