// Checks that may be taken instead of the next one; a row takes it. Below, what each costs.
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
    signal taken()

    spacing: 2 * Metrics.mm
    Repeater {
        model: page.job.lists.others
        Key {
            id: other
            required property string id
            required property string title
            required property string say
            width: page.width
            height: Math.max(15 * Metrics.mm, lines.implicitHeight + 5 * Metrics.mm)
            label: say === "" || say === title ? title : title + ", " + say
            onActed: {
                page.job.select_other(id)
                page.taken()
            }
            Column {
                id: lines
                anchors { left: parent.left; right: wedge.left; leftMargin: 3 * Metrics.mm; verticalCenter: parent.verticalCenter }
                Words { width: parent.width; text: other.title; bold: true; font.pixelSize: Type.row }
                Words { width: parent.width; visible: other.say !== other.title; text: other.say; second: true }
            }
            Icon { id: wedge; name: "fwd"; color: Palette.ink; width: 5 * Metrics.mm; height: width; anchors { right: parent.right; rightMargin: 3 * Metrics.mm; verticalCenter: parent.verticalCenter } }
        }
    }
    Words { visible: page.job.lists.checks.count > 0; text: qsTr("Minutes: own, access, power; hollow is warm again"); width: page.width; bold: true; font.pixelSize: Type.label; topPadding: 1 * Metrics.mm }
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
                height: name.height
                Words { id: name; text: check.title; bold: true; width: parent.width - cost.width - 3 * Metrics.mm }
                Figures { id: cost; anchors { right: parent.right; baseline: name.baseline } text: Math.round(check.minutes) + " min" }
            }
            PriceLine { width: parent.width; own: check.own; access: check.access; power: check.power; warm: check.warm }
            Words { width: parent.width; text: check.why; second: true; visible: text !== "" }
            Rule { width: parent.width }
        }
    }
    Words { visible: page.job.lists.would_change.count > 0; text: qsTr("What would change the answer"); width: page.width; bold: true; font.pixelSize: Type.label; topPadding: 1 * Metrics.mm }
    Repeater {
        model: page.job.lists.would_change
        Words {
            id: turn
            required text
            width: page.width
            Accessible.role: Accessible.ListItem
            Accessible.name: turn.text
        }
    }
    MarkWord { visible: page.job.stage === 3 && page.job.lists.others.count < 2; mark: "info"; word: qsTr("No other check is worth its minutes now.") }
}
