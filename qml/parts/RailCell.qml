// One stage of the rail: its piece of the line, its name, its word. Opens the stage.
pragma ComponentBehavior: Bound
import QtQuick
import Chockside.Theme
import Chockside.Parts

Key {
    id: cell
    property string title
    property string word
    property string state_name: "hollow"
    property real filled: 0
    property bool here: false
    property bool seen: false
    property int index: 0
    property bool standing: true
    property bool mirrored: false
    property bool named: !Metrics.big || !standing

    faced: false
    label: title + ", " + word
    asks: title
    Rectangle {
        anchors.fill: parent
        z: -1
        color: cell.seen ? Palette.panel : Palette.ground
    }
    Rectangle {
        visible: cell.standing ? !cell.seen : true
        x: cell.standing ? (cell.mirrored ? 0 : parent.width - width) : parent.width - width
        width: cell.standing ? Metrics.border : Metrics.hairline
        height: parent.height
        color: cell.standing ? Palette.line : Palette.edge
    }
    Rectangle {
        visible: !cell.standing && !cell.seen
        anchors { bottom: parent.bottom; left: parent.left; right: parent.right }
        height: Metrics.border
        color: Palette.line
    }
    RailLine {
        standing: cell.standing
        mirrored: cell.mirrored
        state: cell.state_name
        filled: cell.filled
        here: cell.here
        ground: cell.seen ? Palette.panel : Palette.ground
        x: cell.standing ? (cell.mirrored ? cell.width - width : 0) : 0
        y: 0
        width: cell.standing ? 8.8 * Metrics.mm : cell.width
        height: cell.standing ? cell.height : 7.2 * Metrics.mm
    }
    Rectangle {
        visible: cell.standing
        anchors { bottom: parent.bottom; left: parent.left; right: parent.right }
        height: Metrics.hairline
        color: Palette.edge
    }
    Column {
        visible: cell.named
        x: cell.standing ? (cell.mirrored ? 2.4 : 9.8) * Metrics.mm : 1.2 * Metrics.mm
        y: cell.standing ? (cell.height - height) / 2 : 6.6 * Metrics.mm
        width: cell.width - (cell.standing ? 10.6 : 1.4) * Metrics.mm
        Words { width: parent.width; text: cell.title; bold: true; wrapMode: Text.NoWrap; fontSizeMode: Text.HorizontalFit; minimumPixelSize: Math.round(3.3 * Metrics.mm); elide: Text.ElideRight }
        Words { width: parent.width; text: cell.word; wrapMode: Text.NoWrap; elide: Text.ElideRight }
    }
    Figures {
        visible: !cell.named
        anchors.verticalCenter: parent.verticalCenter
        x: cell.mirrored ? 2 * Metrics.mm : cell.width - width - 2 * Metrics.mm
        text: cell.index + 1
        font.pixelSize: Math.round(6.6 * Metrics.mm)
    }
}
