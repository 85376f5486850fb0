// A reading: WARNING, the step, what must be so, the verdict; the pad at the right.
pragma ComponentBehavior: Bound
import QtQuick
import Chockside.Theme
import Chockside.Parts
import Chockside.Models

Item {
    id: page
    required property JobModel job
    property bool phone: false
    property bool portrait: false
    property real room: 0
    readonly property bool side: !phone && !portrait
    readonly property real text: side ? width - pad.width - 3.8 * Metrics.mm : width

    readonly property real hazardsEnd: blocks.visible ? blocks.height : 0

    implicitHeight: side ? Math.max(steps.height, pad.height) : pad.y + pad.height
    Column {
        id: steps
        width: page.text
        spacing: (page.phone ? 0.8 : 2.4) * Metrics.mm
        Column {
            id: blocks
            visible: page.job.lists.hazards.count > 0
            width: parent.width
            spacing: parent.spacing
            Repeater {
                model: page.job.lists.hazards
                HazardBlock { required word; required says; width: steps.width; oneLine: page.phone }
            }
        }
        Sentence { width: parent.width; text: page.job.prompt.say; phone: page.phone || Metrics.big; font.pixelSize: page.phone ? Type.label : Metrics.big ? Type.large_key : Type.sentence }
        Words { visible: text !== "" && !page.phone; width: parent.width; text: page.job.prompt.detail; lineHeight: 1.15 }
        Words { visible: text !== "" && !page.phone && !Metrics.big; width: parent.width; text: page.job.prompt.ref; second: true }
        Row {
            visible: page.job.verdict !== "" && !page.phone
            spacing: 1.9 * Metrics.mm
            Mark { name: page.job.verdict_mark; width: 6 * Metrics.mm; height: width; anchors.verticalCenter: parent.verticalCenter; Accessible.role: Accessible.Graphic; Accessible.name: word }
            Words { text: page.job.verdict.charAt(0).toUpperCase() + page.job.verdict.slice(1); bold: true; font.pixelSize: Type.row; anchors.verticalCenter: parent.verticalCenter }
        }
        Repeater {
            model: page.job.prompt.kind === "swing_point" && !page.phone ? page.job.lists.readings : null
            Column {
                id: live
                required property string label
                required property string value
                required property string unit
                required property string word
                required property string mark
                width: steps.width
                visible: label === "Heading"
                Words { text: qsTr("Indicates"); second: true }
                Figures { text: live.value + live.unit; font.pixelSize: Type.figure }
                MarkWord { visible: live.word !== ""; mark: live.mark; word: live.word; bold: true }
            }
        }
        LimitLine { visible: page.job.prompt.has_limits && !page.phone; width: parent.width; place: page.job.verdict_place; shown: page.job.verdict !== "" }
        Words { visible: text !== "" && !page.phone; width: parent.width; text: page.job.limit; second: true }
    }
    NumberPad {
        id: pad
        x: page.side ? parent.width - width : 0
        y: page.side ? 0 : steps.height + (page.phone ? 1 : 2) * Metrics.mm
        width: page.side ? 62.8 * Metrics.mm : parent.width
        phone: page.phone
        keyHeight: page.side ? 19.5 * Metrics.mm : Math.max((page.phone ? 11.7 : 15) * Metrics.mm, Math.min((page.phone ? 14.6 : 19.5) * Metrics.mm, (page.room - y - (page.phone ? 16.9 : 23) * Metrics.mm) / 4))
        typed: page.job.typed
        unit: page.job.prompt.unit
        caption: page.job.prompt.points !== "" ? page.job.prompt.points : page.job.prompt.kind === "swing_point" ? qsTr("sighted") : qsTr("reads")
        minus: page.job.prompt.kind === "number" && (!page.job.prompt.has_limits || page.job.prompt.low < 0)
        verdict: page.job.verdict
        verdictMark: page.job.verdict_mark
        onPressed: key => page.job.type(key)
    }
}
