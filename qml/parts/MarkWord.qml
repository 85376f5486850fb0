// A mark with its word, which never part.
import QtQuick
import Chockside.Theme
import Chockside.Parts

Row {
    id: root
    property string mark: "none"
    property string word
    property bool bold: false
    property bool wordFirst: false
    readonly property string state_words: sign.word
    /// What it may take before the word goes on in a second line.
    property real most: parent ? parent.width : 0

    spacing: 1.8 * Metrics.mm
    layoutDirection: wordFirst ? Qt.RightToLeft : Qt.LeftToRight
    Mark {
        id: sign
        name: root.mark
        Accessible.role: Accessible.Graphic
        Accessible.name: word
        width: 4.3 * Metrics.mm
        height: width
        anchors.verticalCenter: parent.verticalCenter
    }
    Words {
        text: root.word
        bold: root.bold
        visible: text !== ""
        width: root.most > 12 * Metrics.mm ? Math.min(implicitWidth, root.most - 4.3 * Metrics.mm - root.spacing) : implicitWidth
        anchors.verticalCenter: parent.verticalCenter
    }
}
