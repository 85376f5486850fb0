// The whole journal, newest last. An entry opens: there it is amended or voided.
pragma ComponentBehavior: Bound
import QtQuick
import Chockside.Theme
import Chockside.Parts
import Chockside.Models

Column {
    id: page
    required property JobModel job
    property bool phone: false
    signal opened(string hash)

    Repeater {
        model: page.job.lists.journal
        Key {
            id: key
            required property int index
            required property string at
            required property string text
            required property bool sent
            required property string hash
            required property string struck
            required property string by
            faced: false
            objectName: "entry:" + index
            label: at + " " + text + (struck === "" ? "" : ", " + struck)
            asks: hash
            width: page.width
            height: Math.max(row.height, 11.8 * Metrics.mm)
            onActed: page.opened(hash)
            EntryRow {
                id: row
                width: parent.width - 8 * Metrics.mm
                first: key.index === 0
                lines: 20
                at: key.at
                text: key.text
                sent: key.sent
                struck: key.struck
                by: key.by
            }
            Icon { name: "fwd"; color: Palette.ink; width: 4.2 * Metrics.mm; height: width; anchors { right: parent.right; rightMargin: 1.5 * Metrics.mm; verticalCenter: parent.verticalCenter } }
        }
    }
}
