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
    Accessible.role: Accessible.List
    Accessible.name: qsTr("Journal")
    ListView {
        id: list
        anchors { left: parent.left; right: parent.right; bottom: parent.bottom }
        height: Math.min(parent.height, Math.max(1, contentHeight))
        model: thread.entries
        verticalLayoutDirection: ListView.TopToBottom
        interactive: contentHeight > height
        boundsBehavior: Flickable.StopAtBounds
        onCountChanged: Qt.callLater(list.positionViewAtEnd)
        onHeightChanged: Qt.callLater(list.positionViewAtEnd)
        onContentHeightChanged: Qt.callLater(list.positionViewAtEnd)
        delegate: Item {
            id: entry
            required property int index
            required property string at
            required property string text
            required property bool sent
            required property bool amended
            width: list.width
            height: body.height + 2.6 * Metrics.mm
            Accessible.role: Accessible.ListItem
            Accessible.name: at + " " + text + (sent ? ", " + qsTr("sent") : ", " + qsTr("only here"))
            Rectangle {
                x: 1.45 * Metrics.mm - width / 2
                y: entry.index === 0 ? 2 * Metrics.mm : 0
                width: 0.65 * Metrics.mm
                height: entry.height - y
                color: Palette.line
            }
            Rectangle {
                width: 2.9 * Metrics.mm
                height: width
                y: 0.7 * Metrics.mm
                color: entry.sent ? Palette.line : Palette.ground
                border { color: Palette.line; width: Metrics.border }
            }
            Column {
                id: body
                x: thread.indent
                width: entry.width - x
                Figures { text: entry.at; second: true }
                Words { width: parent.width; text: entry.text; font.strikeout: false; maximumLineCount: 4; elide: Text.ElideRight }
            }
            NumberAnimation on opacity {
                from: 0.4
                to: 1
                duration: 120
                running: entry.index === list.count - 1
            }
        }
    }
}
