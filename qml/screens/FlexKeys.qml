// The places of the harness in true order as keys: a tap says that hands move it now, the same key again that they are off.
pragma ComponentBehavior: Bound
import QtQuick
import Chockside.Theme
import Chockside.Parts
import Chockside.Models

Column {
    id: root
    required property FlexModel flex
    property bool phone: false
    readonly property int n: flex.places.count
    readonly property int per: Math.max(1, phone && Metrics.big ? Math.min(2, n) : phone || Metrics.big ? Math.min(3, n) : n)

    spacing: 1.6 * Metrics.mm
    Shortcut { enabled: root.visible; sequence: "0"; onActivated: root.flex.mark_off() }
    Rule { heavy: true; width: parent.width }
    Item {
        width: parent.width
        height: head.height
        Words { id: head; text: root.flex.moved === "" ? qsTr("Tap each place while somebody moves it") : qsTr("%1 is moved now. Tap it again: hands off").arg(root.flex.moved); bold: true; font.pixelSize: Type.label; width: parent.width - (ends.visible ? ends.width + 3 * Metrics.mm : 0) }
        Words { id: ends; visible: !root.phone && !Metrics.big; anchors { right: parent.right; baseline: head.baseline } text: root.flex.ends; second: true; wrapMode: Text.NoWrap }
    }
    Grid {
        id: keys
        width: parent.width
        columns: root.per
        spacing: 2.4 * Metrics.mm
        Repeater {
            model: root.flex.places
            Key {
                id: place
                required property string id
                required property int index
                required property string label_text
                required property string count
                required property string word
                required property bool moving
                readonly property color ink: chosen ? Palette.onSel : Palette.ink
                objectName: "mark:" + id
                width: (keys.width - keys.spacing * (root.per - 1)) / root.per
                height: Math.max(19.5 * Metrics.mm, lines.implicitHeight + 4 * Metrics.mm)
                label: label_text + ", " + (count === "" ? word : count + ", " + word)
                asks: id + moving // its count runs while the finger is down
                chosen: moving
                onActed: root.flex.mark(id)
                // By keyboard, for who watches while another's hands are at the harness: 1 to 9 in the order of the keys, 0 for hands off.
                Shortcut { enabled: root.visible && place.index < 9; sequence: String(place.index + 1); onActivated: root.flex.mark(place.id) }
                Column {
                    id: lines
                    anchors.centerIn: parent
                    width: parent.width - 1.6 * Metrics.mm
                    Words { width: parent.width; text: place.label_text; bold: true; color: place.ink; font.pixelSize: Type.row; horizontalAlignment: Text.AlignHCenter }
                    Figures { width: parent.width; visible: text !== ""; text: place.count; color: place.ink; horizontalAlignment: Text.AlignHCenter; wrapMode: Text.Wrap }
                    Words { width: parent.width; text: place.word; color: place.ink; horizontalAlignment: Text.AlignHCenter }
                }
            }
        }
    }
}
