// The way from sensor to unit with the likelihood of each place; lies on a tablet, stands on a phone or with large text.
pragma ComponentBehavior: Bound
import QtQuick
import Chockside.Theme
import Chockside.Parts

Item {
    id: root
    required property var places
    property bool standing: false

    implicitHeight: standing ? column.implicitHeight : row.implicitHeight
    Row {
        id: row
        visible: !root.standing
        anchors { left: parent.left; right: parent.right; margins: -0.6 * Metrics.mm }
        Repeater {
            model: root.standing ? null : root.places
            Column {
                id: place
                required property string label
                required property string where
                required property string kind
                required property string mark
                required property string share
                required property bool leading
                required property int index
                width: row.width / Math.max(1, root.places.count)
                Accessible.role: Accessible.StaticText
                Accessible.name: label + ", " + where + (leading ? ", " + qsTr("most likely") : "") + (share !== "" ? ", " + share : "")
                Words { width: parent.width; text: place.label; bold: place.leading; horizontalAlignment: Text.AlignHCenter; font.pixelSize: Type.label; wrapMode: Text.NoWrap }
                Words { width: parent.width; text: place.where; horizontalAlignment: Text.AlignHCenter; wrapMode: Text.NoWrap; elide: Text.ElideRight }
                HarnessPiece {
                    width: parent.width
                    height: 10.4 * Metrics.mm
                    kind: place.kind
                    mark: place.mark
                    leading: place.leading
                    first: place.index === 0
                    last: place.index === root.places.count - 1
                }
                Item {
                    width: parent.width
                    height: shown.text === "" ? 0 : Type.likelihood * 1.1
                    Figures {
                        id: shown
                        // In the middle of its place, but never beyond the line's ends.
                        x: Math.max(-row.x - place.x, Math.min(root.width - row.x - place.x - width, (parent.width - width) / 2))
                        anchors.verticalCenter: parent.verticalCenter
                        text: place.share
                        font.family: place.leading ? Type.words : Type.figures
                        font.weight: place.leading ? Font.ExtraBold : Type.number_weight
                        font.pixelSize: place.leading ? Type.likelihood : Math.round(4.9 * Metrics.mm)
                    }
                }
            }
        }
    }
    Column {
        id: column
        visible: root.standing
        width: parent.width
        Repeater {
            model: root.standing ? root.places : null
            Item {
                id: line
                required property string label
                required property string where
                required property string kind
                required property string mark
                required property string share
                required property bool leading
                required property int index
                width: column.width
                readonly property bool under: name.implicitWidth + place.implicitWidth + share.implicitWidth + 16 * Metrics.mm > width
                height: Math.max(7.2 * Metrics.mm, Type.floor * 1.6, under ? name.height + place.height + 0.6 * Metrics.mm : 0)
                Accessible.role: Accessible.StaticText
                Accessible.name: label + ", " + where + (leading ? ", " + qsTr("most likely") : "") + (share !== "" ? ", " + share : "")
                HarnessPiece {
                    standing: true
                    width: 6.4 * Metrics.mm
                    height: parent.height
                    kind: line.kind
                    mark: line.mark
                    leading: line.leading
                    first: line.index === 0
                    last: line.index === root.places.count - 1
                }
                Words { id: name; x: 9.4 * Metrics.mm; y: (parent.height - height - (line.under ? place.height : 0)) / 2; text: line.label; bold: line.leading; font.pixelSize: Type.label; wrapMode: Text.NoWrap }
                Words { id: place; x: line.under ? name.x : Math.max(name.x + name.width + 2 * Metrics.mm, Math.min(parent.width * (Metrics.big ? 0.42 : 0.48), parent.width - share.width - implicitWidth - 1.5 * Metrics.mm)); y: line.under ? name.y + name.height : (parent.height - height) / 2; width: Math.min(implicitWidth, parent.width - x - share.width - 1 * Metrics.mm); text: line.where }
                Figures {
                    id: share
                    anchors { right: parent.right; verticalCenter: parent.verticalCenter }
                    text: line.share
                    font.family: line.leading ? Type.words : Type.figures
                    font.weight: line.leading ? Font.ExtraBold : Type.number_weight
                    font.pixelSize: line.leading ? Math.round(6.4 * Metrics.mm * Math.min(1.45, Metrics.text_scale)) : Type.row
                }
            }
        }
    }
}
