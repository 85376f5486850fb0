// Checks that may be taken instead of the next one.
pragma ComponentBehavior: Bound
import QtQuick
import Chockside.Theme
import Chockside.Parts
import Chockside.Models

Column {
    id: page
    required property JobModel job
    property bool phone: false
    property real room: 0

    spacing: 1.6 * Metrics.mm
    Repeater {
        model: page.job.lists.checks
        Column {
            id: check
            required property string title
            required property string why
            required property real minutes
            required property real own
            required property real access
            required property real power
            required property real warm
            width: page.width
            spacing: 0.6 * Metrics.mm
            Item {
                width: parent.width
                height: title.height
                Words { id: title; text: check.title; bold: true; font.pixelSize: Type.row; width: parent.width - cost.width - 3 * Metrics.mm }
                Figures { id: cost; anchors { right: parent.right; baseline: title.baseline } text: Math.round(check.minutes) + " min"; font.pixelSize: Type.row }
            }
            PriceLine { width: parent.width; own: check.own; access: check.access; power: check.power; warm: check.warm }
            Words { width: parent.width; text: check.why; second: true; visible: text !== "" }
            Rule { width: parent.width }
        }
    }
    MarkWord { visible: page.job.lists.checks.count === 0; mark: "info"; word: qsTr("No other check is worth its minutes now.") }
}
