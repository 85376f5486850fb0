// A job as a row with its line; gaps show before you read.
pragma ComponentBehavior: Bound
import QtQuick
import Chockside.Theme
import Chockside.Parts

Key {
    id: row
    property string tail
    property string note
    property string complaint
    property string state_words
    property string mark: "none"
    property string where
    property var pieces: []
    property bool phone: false
    readonly property bool stacked: phone || Metrics.big

    label: [row.tail, row.note, complaint, state_words, where].filter(part => part !== "").join(", ")
    asks: row.tail + ", " + complaint
    implicitHeight: body.implicitHeight + (stacked ? 12 : 5.2) * Metrics.mm
    Column {
        id: body
        x: 2.9 * Metrics.mm
        y: 2 * Metrics.mm
        width: row.stacked ? parent.width - 5.8 * Metrics.mm : parent.width - line.width - 9 * Metrics.mm
        Item {
            readonly property real gap: 2.2 * Metrics.mm
            readonly property bool beside: tail.width + gap + note.implicitWidth <= width
            width: parent.width
            height: note.visible && !beside ? note.y + note.height : tail.height
            Words { id: tail; text: row.tail; bold: true; font.pixelSize: Type.large_key; wrapMode: Text.NoWrap }
            Words {
                id: note
                visible: text !== ""
                second: true
                text: row.note
                x: parent.beside ? tail.width + parent.gap : 0
                y: parent.beside ? tail.height * 0.96 - height : tail.height
                width: parent.beside ? implicitWidth : parent.width
            }
        }
        Words { width: parent.width; text: row.complaint; bold: true; font.pixelSize: Type.row }
        MarkWord { mark: row.mark; word: row.state_words; topPadding: 0.6 * Metrics.mm }
    }
    StageLine {
        id: line
        pieces: row.pieces
        width: row.stacked ? parent.width - 5.8 * Metrics.mm : 45 * Metrics.mm
        height: 6.4 * Metrics.mm
        x: row.stacked ? 2.9 * Metrics.mm : parent.width - width - 2.9 * Metrics.mm
        y: row.stacked ? body.y + body.height + 1 * Metrics.mm : 3.6 * Metrics.mm
    }
    Words {
        visible: !row.stacked
        anchors { right: line.right; top: line.bottom; topMargin: 1.4 * Metrics.mm }
        text: row.where
        wrapMode: Text.NoWrap
    }
}
