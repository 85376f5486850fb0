// The journal as a thread: newest entry lowest, filled beads where the shop has it. It ends in the large key, which is put below.
pragma ComponentBehavior: Bound
import QtQuick
import Chockside.Theme
import Chockside.Parts

Item {
    id: thread
    required property var entries
    property real indent: 4.75 * Metrics.mm

    clip: true
    Column {
        anchors { left: parent.left; right: parent.right; bottom: parent.bottom }
        Repeater {
            id: rows
            model: thread.entries
            EntryRow {
                required property int index
                width: parent ? parent.width : 0
                indent: thread.indent
                first: index === 0
                newest: index === rows.count - 1
            }
        }
    }
}
