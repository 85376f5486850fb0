// Why is nothing heard? Every step of the way, the first gap, and what to do about it.
pragma ComponentBehavior: Bound
import QtQuick
import Chockside.Theme
import Chockside.Parts
import Chockside.Models

Column {
    id: page
    required property PortCheckModel check
    property bool phone: false
    spacing: 2.4 * Metrics.mm

    Item {
        visible: page.check.mend !== ""
        width: parent.width
        height: Math.max(todo.implicitHeight, time.implicitHeight)
        Words { id: todo; width: parent.width - time.width - 2.4 * Metrics.mm; text: page.check.mend; font.pixelSize: Type.row }
        Words { id: time; anchors.right: parent.right; text: page.check.minutes; wrapMode: Text.NoWrap; font.pixelSize: Type.row }
    }
    Grid {
        id: way
        width: parent.width
        columns: page.phone || Metrics.big ? 1 : 2
        columnSpacing: 2.4 * Metrics.mm
        rowSpacing: 1.4 * Metrics.mm
        Repeater {
            model: page.check.steps
            MarkWord {
                most: width
                required mark
                required property string label_text
                width: (way.width - way.columnSpacing * (way.columns - 1)) / way.columns
                word: label_text
            }
        }
    }
    Words { width: parent.width; second: true; text: page.check.heard }
    Rule { width: parent.width }
}
