// Practice: hands and eyes. What can be done in the practice aircraft, and what is seen there.
pragma ComponentBehavior: Bound
import QtQuick
import Chockside.Theme
import Chockside.Parts
import Chockside.Models

Grid {
    id: page
    required property PracticeModel practice
    property bool phone: false
    property real room: 0
    readonly property bool two: !phone && !Metrics.big

    columns: two ? 2 : 1
    columnSpacing: 4.4 * Metrics.mm
    rowSpacing: 3 * Metrics.mm
    Column {
        width: page.two ? (page.width - page.columnSpacing) * 0.54 : page.width
        spacing: 1.6 * Metrics.mm
        Words { text: qsTr("Hands"); bold: true; font.pixelSize: Type.row }
        Rule { heavy: true; width: parent.width }
        Grid {
            id: moves
            columns: Metrics.big ? 1 : 2
            spacing: 2.4 * Metrics.mm
            width: parent.width
            Repeater {
                model: page.practice.hands
                SecondaryKey {
                    required property string verb
                    required property string text
                    required property int index
                    width: Metrics.big ? moves.width : (moves.width - moves.spacing) / 2
                    word: text
                    onActed: page.practice.act(index)
                }
            }
        }
        MarkWord { visible: page.practice.coupled || page.practice.hands.count === 0; mark: "info"; word: page.practice.coupled ? qsTr("Steps move the aircraft by themselves") : qsTr("Nothing to move now") }
    }
    Column {
        width: page.two ? (page.width - page.columnSpacing) * 0.46 : page.width
        spacing: 1 * Metrics.mm
        Words { text: qsTr("Eyes"); bold: true; font.pixelSize: Type.row }
        Rule { heavy: true; width: parent.width }
        Repeater {
            model: page.practice.seen
            Words { required property string modelData; width: parent.width; text: modelData }
        }
    }
}
