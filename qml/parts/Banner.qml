// Stop: a full red block until its cause ends. Attention: amber end piece and tint, acknowledged. Advice: a thin frame, silent.
pragma ComponentBehavior: Bound
import QtQuick
import Chockside.Theme
import Chockside.Parts

Rectangle {
    id: banner
    property string kind: "advice"
    property string head
    property string says
    readonly property bool stop: kind === "stop"
    readonly property bool attention: kind === "attention"
    readonly property color text: stop ? Palette.onStopBanner : Palette.ink

    implicitHeight: Math.max(lines.implicitHeight + (stop ? 8 : 4) * Metrics.mm, (stop ? 20 : attention ? 13 : 8) * Metrics.mm)
    color: stop ? Palette.stopBanner : attention ? Palette.amberSoft : Palette.panel
    border { color: stop || attention ? Palette.ink : Palette.edge; width: stop || attention ? Metrics.border : Metrics.hairline }
    Accessible.role: Accessible.AlertMessage
    Accessible.name: [mark.word, head, says].filter(part => part !== "").join(", ")
    Rectangle {
        visible: !banner.stop
        width: (banner.attention ? 3.4 : 1.1) * Metrics.mm
        height: parent.height
        color: banner.attention ? Palette.amber : Palette.ink
    }
    Mark {
        id: mark
        name: banner.stop ? "stop" : banner.attention ? "attn" : "info"
        width: (banner.stop ? 13.3 : banner.attention ? 7.3 : 4.5) * Metrics.mm
        height: width
        x: (banner.stop ? 3 : banner.attention ? 6 : 3.8) * Metrics.mm
        anchors.verticalCenter: parent.verticalCenter
    }
    Column {
        id: lines
        anchors { left: mark.right; leftMargin: 2.6 * Metrics.mm; right: parent.right; rightMargin: 2.5 * Metrics.mm; verticalCenter: parent.verticalCenter }
        Words { visible: text !== ""; width: parent.width; text: banner.head; bold: true; color: banner.text; font.pixelSize: banner.stop ? Type.sentence : Type.floor }
        Words { visible: text !== ""; width: parent.width; text: banner.says; color: banner.text }
    }
}
