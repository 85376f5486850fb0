// One cell of the strip: a key that opens what it states.
pragma ComponentBehavior: Bound
import QtQuick
import Chockside.Theme
import Chockside.Parts

Key {
    id: cell
    property bool lineLeft: true

    faced: false
    height: parent ? parent.height : 0
    Rectangle {
        visible: cell.lineLeft
        width: Metrics.hairline
        height: parent.height
        color: Palette.edge
    }
}
