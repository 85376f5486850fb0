// The way from this tablet to the shop: solid as far as the entries are safe, with its gap while they are not there.
import QtQuick
import Chockside.Theme
import Chockside.Parts
import Chockside.Models

Item {
    id: root
    required property JobModel job
    readonly property bool sent: job.unsent === 0

    implicitHeight: Type.floor * 1.5 + safe.implicitHeight + 6.4 * Metrics.mm
    Accessible.role: Accessible.StaticText
    Accessible.name: qsTr("%1, safe here. %2 unsent.").arg(job.entries_text).arg(job.unsent)
    Words { text: qsTr("This tablet"); bold: true; wrapMode: Text.NoWrap }
    Words { anchors.right: parent.right; text: qsTr("Shop"); bold: true; wrapMode: Text.NoWrap }
    RailLine {
        standing: false
        y: Type.floor * 1.2
        width: parent.width
        height: 7.4 * Metrics.mm
        state: root.sent ? "solid" : "gap"
        filled: root.sent ? 1 : 0
        ground: Palette.panel
    }
    Words { id: safe; anchors.bottom: parent.bottom; text: qsTr("%1, safe here").arg(root.job.entries_text); width: parent.width - has.width - 3 * Metrics.mm }
    Words { id: has; anchors { bottom: parent.bottom; right: parent.right } text: qsTr("has %1").arg(root.job.entries - root.job.unsent); wrapMode: Text.NoWrap }
}
