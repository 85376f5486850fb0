// Minutes as a line: what is owed is solid, what is left is hollow, the decision point stands on it.
pragma ComponentBehavior: Bound
import QtQuick
import Chockside.Theme
import Chockside.Parts

Item {
    id: root
    property real filled: 0
    property real decideAt: -1
    property string startText
    property string decideText
    property string endText
    property string filledText
    property bool above: false

    // Where the words do not fit beside each other they stand below in one line after the other.
    readonly property bool crowded: upper.width + (decideText === "" ? 0 : middle.implicitWidth + 2 * Metrics.mm) + Math.max(last.implicitWidth, end.implicitWidth) + (above ? 0 : begin.implicitWidth) + 4 * Metrics.mm > width

    implicitHeight: crowded ? 4.4 * Metrics.mm + below.implicitHeight : 2.6 * Metrics.mm + Type.floor * (above ? 2.8 : 1.5)
    Row {
        id: upper
        visible: root.above && !root.crowded
        Words { text: root.filledText; wrapMode: Text.NoWrap }
    }
    Words {
        id: middle
        visible: root.above && !root.crowded && root.decideText !== ""
        text: root.decideText
        wrapMode: Text.NoWrap
        x: Math.max(upper.width + 2 * Metrics.mm, Math.min(root.width * root.decideAt - width / 2, root.width - width - last.width - 3 * Metrics.mm))
    }
    Words { id: last; visible: root.above && !root.crowded; anchors.right: parent.right; text: root.endText; wrapMode: Text.NoWrap }
    Rectangle {
        id: bar
        y: root.above && !root.crowded ? Type.floor * 1.35 : 1 * Metrics.mm
        width: parent.width
        height: 1.9 * Metrics.mm
        color: "transparent"
        border { color: Palette.line; width: Metrics.hairline }
        Rectangle { width: parent.width * root.filled; height: parent.height; color: Palette.line }
        Rectangle { visible: root.decideAt >= 0; x: parent.width * root.decideAt; y: -1 * Metrics.mm; width: 0.65 * Metrics.mm; height: parent.height + 2 * Metrics.mm; color: Palette.line }
        Rectangle { x: parent.width - width; y: -1 * Metrics.mm; width: 0.8 * Metrics.mm; height: parent.height + 2 * Metrics.mm; color: Palette.line }
    }
    Figures { id: begin; visible: !root.crowded; y: bar.y + bar.height + 1 * Metrics.mm; text: root.startText }
    Words {
        id: mid
        visible: !root.above && !root.crowded && root.decideText !== ""
        y: bar.y + bar.height + 1 * Metrics.mm
        x: Math.max(14 * Metrics.mm, Math.min(root.width * root.decideAt - width / 2, root.width - width - end.width - 2 * Metrics.mm))
        text: root.decideText
        wrapMode: Text.NoWrap
    }
    Figures { id: end; visible: !root.above && !root.crowded; anchors.right: parent.right; y: bar.y + bar.height + 1 * Metrics.mm; text: root.endText }
    Words { id: below; visible: root.crowded; y: bar.y + bar.height + 1.2 * Metrics.mm; width: parent.width; text: [root.startText, root.filledText, root.decideText, root.endText].filter(word => word !== "").join(", ") }
}
