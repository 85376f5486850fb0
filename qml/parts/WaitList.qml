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
            Accessible.name: [title, head.state_words, wait.ends, says].filter(part => part !== "").join(", ")
            Column {
                id: lines
                y: 1 * Metrics.mm
                width: parent.width
                Item {
                    width: parent.width
                    height: head.height + (under ? ends.height : 0)
                    readonly property bool under: head.implicitWidth + ends.implicitWidth + 2 * Metrics.mm > width
                    MarkWord { id: head; most: parent.width; mark: wait.mark; word: wait.title; bold: true; spacing: 1.2 * Metrics.mm }
                    Figures { id: ends; x: parent.under ? 5.5 * Metrics.mm : parent.width - width; y: parent.under ? head.height : (head.height - height) / 2; width: Math.min(implicitWidth, parent.width - (parent.under ? x : 0)); wrapMode: Text.Wrap; text: wait.ends }
                }
                Words { width: parent.width; text: wait.says; second: true; visible: text !== "" }
            }
            Rule { anchors.bottom: parent.bottom; width: parent.width; visible: wait.index < root.waits.count - 1 }
        }
    }
}
