// WARNING, CAUTION or NOTE: always above or left of the step it belongs to, never filled, never dismissed.
pragma ComponentBehavior: Bound
import QtQuick
import Chockside.Theme
import Chockside.Parts

Item {
    id: block
    property string word
    property string says
    property bool ruled: true
    property bool oneLine: false
    readonly property bool note: word === "NOTE"

    implicitHeight: body.implicitHeight + (ruled ? 4.2 : 0.6) * Metrics.mm
    Accessible.role: Accessible.StaticText
    Accessible.name: word + ". " + says
    Rectangle {
        visible: block.ruled
        width: parent.width
        height: (block.note ? 0.5 : 1.0) * Metrics.mm
        color: Palette.ink
    }
    Mark {
        id: mark
        name: block.word === "WARNING" ? "stop" : block.note ? "info" : "attn"
        width: (block.note ? 4.6 : block.ruled ? 6.4 : 5.9) * Metrics.mm
        height: width
        x: 0.3 * Metrics.mm
        y: block.ruled ? 2.6 * Metrics.mm : body.y + (block.oneLine ? -0.5 : 1.2) * Metrics.mm
    }
    Column {
        id: body
        anchors { left: mark.right; leftMargin: 2.4 * Metrics.mm; right: parent.right }
        y: (block.ruled ? 2.1 : 0.3) * Metrics.mm
        Words { text: block.word; bold: true; font.letterSpacing: 0.06 * Type.floor; visible: !block.oneLine }
        Words { width: parent.width; text: block.oneLine && !block.note ? block.word + ". " + block.says : block.says }
    }
    Rectangle {
        visible: block.ruled
        anchors.bottom: parent.bottom
        width: parent.width
        height: 0.5 * Metrics.mm
        color: Palette.ink
    }
}
