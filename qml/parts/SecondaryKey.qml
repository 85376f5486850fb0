// A key beside the large one: an icon over a word, or a word alone. Pressed while it waits it says for what.
// Not Bound: the Loader of Qt 6.4 refuses bound components.
import QtQuick
import Chockside.Theme
import Chockside.Parts

Key {
    id: key
    property string icon
    property string word
    readonly property color ink: chosen ? Palette.onSel : Palette.ink

    label: word.replace("\n", " ")
    implicitHeight: Math.max(15 * Metrics.mm, lines.implicitHeight + 3.4 * Metrics.mm)
    onRefused: {
        // As wide as its longest word wants, and not beyond the glass.
        reason.x = Math.min(0, Window.width - 1 * Metrics.mm - mapToItem(null, 0, 0).x - reason.width)
        reason.active = why !== ""
    }
    onWaitsChanged: reason.active = false
    z: reason.active ? 1 : 0
    Loader {
        id: reason
        active: false
        width: Math.max(key.width, 9 * Type.floor)
        anchors { bottom: parent.top; bottomMargin: 0.6 * Metrics.mm }
        sourceComponent: Rectangle {
            height: words.implicitHeight + 2.4 * Metrics.mm
            color: Palette.panel
            border { color: Palette.line; width: Metrics.border }
            Words { id: words; objectName: "reason"; x: 1.2 * Metrics.mm; y: x; width: parent.width - 2 * x; text: key.why }
            Timer { running: true; interval: 4000; onTriggered: reason.active = false }
        }
    }
    // A word is made smaller before it is broken.
    TextMetrics {
        id: widest
        font { family: Type.words; weight: Type.bold_weight; pixelSize: Type.floor }
        text: key.word.split(/[ \n]/).reduce((most, word) => word.length > most.length ? word : most, "")
    }
    Column {
        id: lines
        anchors.centerIn: parent
        width: parent.width - 1.6 * Metrics.mm
        spacing: (said.lineCount > 1 ? 0 : 0.6) * Metrics.mm
        Icon {
            visible: key.icon !== "" && !Metrics.big
            name: key.icon
            color: key.ink
            width: (said.lineCount > 1 ? 3.8 : 4.8) * Metrics.mm
            height: width
            anchors.horizontalCenter: parent.horizontalCenter
        }
        Words {
            id: said
            width: parent.width
            lineHeight: lineCount > 1 && key.icon !== "" ? 0.88 : 1.04
            text: key.word
            bold: true
            color: key.ink
            horizontalAlignment: Text.AlignHCenter
            wrapMode: Text.Wrap
            font.pixelSize: Math.max(Math.round(3.3 * Metrics.mm), Math.min(Type.floor, Math.floor(Type.floor * (width - 1) / Math.max(1, widest.advanceWidth))))
        }
    }
}
