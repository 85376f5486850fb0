// What the line and the marks mean.
pragma ComponentBehavior: Bound
import QtQuick
import Chockside.Theme
import Chockside.Parts

Column {
    id: page
    property bool phone: false
    property real room: 0
    readonly property int per: phone && Metrics.big ? 1 : phone || Metrics.big ? 2 : 3

    spacing: 2.4 * Metrics.mm
    Words { text: qsTr("The line"); bold: true; font.pixelSize: Type.row }
    Rule { heavy: true; width: parent.width }
    Grid {
        width: parent.width
        columns: page.per
        rowSpacing: 2 * Metrics.mm
        Repeater {
            model: [["solid", qsTr("done")], ["hollow", qsTr("not yet")], ["gap", qsTr("open")]]
            Column {
                id: one
                required property var modelData
                width: page.width / page.per
                RailLine { standing: false; state: one.modelData[0]; filled: one.modelData[0] === "gap" ? 1 : 0; width: 20 * Metrics.mm; height: 6.6 * Metrics.mm; ground: Palette.panel }
                Words { text: one.modelData[1] }
            }
        }
    }
    Words { text: qsTr("Marks: shape, word, place"); width: page.width; bold: true; font.pixelSize: Type.row }
    Rule { heavy: true; width: parent.width }
    Grid {
        width: parent.width
        columns: page.per
        rowSpacing: 1.6 * Metrics.mm
        Repeater {
            model: [["good", qsTr("good")], ["fail", qsTr("not good")], ["attn", qsTr("attention")], ["unver", qsTr("not proven")], ["stop", qsTr("stop")], ["open", qsTr("pulled, open")], ["closed", qsTr("in, closed")],
                ["collared", qsTr("collared")], ["tripped", qsTr("tripped")], ["none", qsTr("not looked at")], ["run", qsTr("at work")], ["defer", qsTr("deferred")], ["info", qsTr("advice")]]
            MarkWord { required property var modelData; width: page.width / page.per; most: width; mark: modelData[0]; word: modelData[1] }
        }
    }
    Words { text: qsTr("Keys"); bold: true; font.pixelSize: Type.row }
    Rule { heavy: true; width: parent.width }
    Words { width: parent.width; lineHeight: 1.2; text: qsTr("Only what has a foot can be pressed. A key acts when you let go of it; slide off and nothing happens. Breakers, covers and signing want one second. A dashed key waits and says for what. A wrong entry is never erased: open it in the journal, and amend or void it with a reason.") }
}
