// One entry on the thread: bead, time, words.
import QtQuick
import Chockside.Theme
import Chockside.Parts

Item {
    id: entry
    required property string at
    required property string text
    required property bool sent
    required property string struck       // "voided", "amended"; empty: it holds
    property string by                    // what says so, beside it
    property bool first: false
    property bool newest: false
    property int lines: 4
    property real indent: 4.75 * Metrics.mm

    height: body.height + 2.2 * Metrics.mm
    Accessible.role: Accessible.ListItem
    Accessible.name: at + " " + text + (struck === "" ? "" : ", " + struck + " " + by) + (sent ? ", " + qsTr("sent") : ", " + qsTr("only here"))
    Component.onCompleted: if (newest) drop.start()
    Rectangle {
        x: 1.45 * Metrics.mm - width / 2
        y: entry.first ? 2 * Metrics.mm : 0
        width: 0.65 * Metrics.mm
        height: entry.height - y
        color: Palette.line
    }
    Rectangle {
        width: 2.9 * Metrics.mm
        height: width
        y: 0.7 * Metrics.mm
        color: entry.sent ? Palette.line : Palette.ground
        border { color: Palette.line; width: Metrics.border }
    }
    Column {
        id: body
        x: entry.indent
        width: entry.width - x
        Figures { text: entry.at + (entry.struck === "" ? "" : " " + entry.struck); second: true; height: font.pixelSize * 1.25; verticalAlignment: Text.AlignVCenter }
        Words { width: parent.width; text: entry.text; font.strikeout: entry.struck !== ""; second: entry.struck !== ""; maximumLineCount: entry.lines; elide: Text.ElideRight }
        Words { width: parent.width; visible: entry.struck !== "" && entry.by !== ""; text: entry.by; maximumLineCount: entry.lines; elide: Text.ElideRight }
    }
    NumberAnimation { id: drop; target: body; property: "opacity"; from: 0.4; to: 1; duration: 120 }
}
