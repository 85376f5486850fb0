// The correction card as it is fitted: for, steer.
pragma ComponentBehavior: Bound
import QtQuick
import Chockside.Theme
import Chockside.Parts

PaperFrame {
    id: card
    required property var rows
    property int perLine: Math.max(1, Math.min(width < 70 * Metrics.mm ? 4 : 6, Math.floor((width - 5.4 * Metrics.mm - named) / (Type.row * 2.2))))
    readonly property real named: Math.max(12.6 * Metrics.mm, Type.floor * 3.3)
    readonly property int lines: Math.ceil(rows.length / perLine)

    implicitHeight: lines * 2 * Type.row * 1.75 + 4.4 * Metrics.mm
    Column {
        anchors { fill: parent; margins: 2.2 * Metrics.mm }
        Repeater {
            model: card.lines
            Column {
                id: half
                required property int index
                readonly property var part: card.rows.slice(index * card.perLine, (index + 1) * card.perLine)
                width: parent.width
                Repeater {
                    model: 2
                    Item {
                        id: line
                        required property int index
                        width: half.width
                        height: Type.row * 1.75
                        Words { second: true; text: line.index === 0 ? qsTr("For") : qsTr("Steer"); bold: true; anchors.verticalCenter: parent.verticalCenter; x: 1.2 * Metrics.mm }
                        Row {
                            x: card.named
                            anchors.verticalCenter: parent.verticalCenter
                            Repeater {
                                model: half.part
                                Figures {
                                    required property var modelData
                                    width: (card.width - 4.4 * Metrics.mm - card.named - 0.8 * Metrics.mm) / card.perLine
                                    text: line.index === 0 ? modelData.target : modelData.steer
                                    font.pixelSize: Type.row
                                    font.weight: line.index === 0 ? Type.number_weight : Font.Bold
                                    horizontalAlignment: Text.AlignHCenter
                                }
                            }
                        }
                        Rule { visible: line.index === 0; anchors.bottom: parent.bottom; width: line.width }
                    }
                }
            }
        }
    }
}
