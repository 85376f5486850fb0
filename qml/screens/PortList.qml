// Where the unit's line comes in: what the system lists, or a path that is typed (a bridge, a pseudo-terminal).
pragma ComponentBehavior: Bound
import QtQuick
import Chockside.Theme
import Chockside.Parts
import Chockside.Models

Column {
    id: list
    required property NewJobModel draft
    property bool phone: false
    spacing: 2.4 * Metrics.mm
    Words { visible: list.draft.ports.count === 0; width: parent.width; text: qsTr("No port is listed. Plug the adapter in and look again, or type its path.") }
    Grid {
        id: keys
        width: parent.width
        columns: list.phone || Metrics.big ? 1 : 2
        spacing: 2.4 * Metrics.mm
        readonly property real cell: (width - spacing * (columns - 1)) / columns
        Repeater {
            model: list.draft.ports
            SecondaryKey {
                required property string id
                required property string label_text
                required chosen
                objectName: "port:" + id
                width: keys.cell
                word: label_text
                onActed: list.draft.port = id
            }
        }
    }
    Grid {
        width: parent.width
        columns: 2
        spacing: 2.4 * Metrics.mm
        verticalItemAlignment: Grid.AlignBottom
        Field { objectName: "field:port"; width: parent.width - again.width - 2.4 * Metrics.mm; code: true; title: qsTr("Port"); text: list.draft.port; onEdited: text => list.draft.port = text }
        SecondaryKey { id: again; objectName: "look_again"; width: 28 * Metrics.mm; word: qsTr("Look again"); onActed: list.draft.look() }
    }
}
