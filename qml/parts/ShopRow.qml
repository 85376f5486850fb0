// What the shop wrote: a write-up that waits to be opened, or a word to a job or to all.
pragma ComponentBehavior: Bound
import QtQuick
import Chockside.Theme
import Chockside.Parts

Key {
    id: row
    property string head
    property string said
    property string by
    property bool write_up: false
    property bool leads: true ///< a tap goes somewhere

    label: (write_up ? sign.word + ", " + qsTr("Write-up from the shop, %1").arg(head) : qsTr("The shop to %1").arg(head)) + ", " + said + ", " + (write_up ? qsTr("Write-up by %1").arg(by) : by)
    faced: leads
    enabled: leads
    implicitHeight: body.implicitHeight + 4 * Metrics.mm
    Column {
        id: body
        x: 2.9 * Metrics.mm
        y: 2 * Metrics.mm
        width: parent.width - 5.8 * Metrics.mm
        Row {
            width: parent.width
            spacing: 1.8 * Metrics.mm
            Mark { id: sign; name: row.write_up ? "attn" : "info"; width: 4.3 * Metrics.mm; height: width; anchors.verticalCenter: parent.verticalCenter }
            Words { width: parent.width - sign.width - parent.spacing; text: row.write_up ? row.head : qsTr("The shop to %1").arg(row.head); bold: true; font.pixelSize: Type.row; }
        }
        Words { visible: text !== ""; width: parent.width; text: row.said }
        Words { width: parent.width; second: true; text: row.write_up ? qsTr("Write-up by %1").arg(row.by) : row.by; }
    }
}
