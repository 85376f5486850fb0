// Write-up: crew's words, six fixed answers, time to departure, last work and equipment; warnings nearest the hands.
pragma ComponentBehavior: Bound
import QtQuick
import Chockside.Theme
import Chockside.Parts
import Chockside.Models

Grid {
    id: page
    required property JobModel job
    property bool phone: false
    property bool big: Metrics.big
    property real room: 0
    readonly property bool two: !phone && !big
    readonly property real column: two ? (width - columnSpacing) : width

    readonly property real hazardsEnd: job.prompt.id === "cautions" && cautions.visible ? cautions.y + cautions.height : 0

    columns: two ? 2 : 1
    columnSpacing: 4.4 * Metrics.mm
    rowSpacing: 3 * Metrics.mm
    Column {
        width: page.two ? page.column * 0.535 : page.width
        spacing: 1.2 * Metrics.mm
        Rule { heavy: true; width: parent.width }
        Words {
            width: parent.width
            text: "“" + page.job.complaint + "”"
            font.pixelSize: Type.row
            lineHeight: 1.15
            bottomPadding: 1.6 * Metrics.mm
        }
        Column {
            width: parent.width
        Repeater {
            model: page.job.lists.debrief
            Item {
                id: answer
                required property string title
                required property string words
                required property int index
                visible: words !== ""
                width: parent.width
                height: Math.max(5.8 * Metrics.mm, said.implicitHeight + 1 * Metrics.mm)
                Accessible.role: Accessible.StaticText
                Accessible.name: title + ": " + words
                Words { text: answer.title; second: true; width: 18 * Metrics.mm * Metrics.text_scale; elide: Text.ElideRight; wrapMode: Text.NoWrap; anchors.verticalCenter: parent.verticalCenter }
                Words { id: said; x: 18.7 * Metrics.mm * Metrics.text_scale; width: parent.width - x; text: answer.words; bold: true; anchors.verticalCenter: parent.verticalCenter }
                Rule { anchors.bottom: parent.bottom; width: parent.width; visible: answer.index < page.job.lists.debrief.count - 1 }
            }
        }
        }
        MarkWord { visible: page.job.lists.debrief.count === 0; mark: "none"; word: qsTr("Crew not asked yet") }
    }
    Column {
        width: page.two ? page.column * 0.465 : page.width
        spacing: 1.2 * Metrics.mm
        Rule { heavy: true; width: parent.width }
        Flow {
            visible: page.job.departure !== ""
            width: parent.width
            spacing: 2.4 * Metrics.mm
            Figures { id: span; text: page.job.to_departure; font.pixelSize: Math.round(8 * Metrics.mm) }
            Words { text: qsTr("to departure"); second: true; height: Math.max(implicitHeight, span.height * 0.84); verticalAlignment: Text.AlignBottom; wrapMode: Text.NoWrap }
        }
        TimeLine {
            visible: page.job.departure !== ""
            width: parent.width
            decideAt: page.job.decide === "" ? -1 : page.job.decide_share
            startText: page.job.utc
            decideText: page.job.decide === "" ? "" : qsTr("decide %1").arg(page.job.decide)
            endText: page.job.departure
        }
        MarkWord { visible: page.job.departure === ""; mark: "info"; word: qsTr("No departure time") }
        MarkWord { visible: page.job.earlier_says !== ""; width: parent.width; mark: page.job.earlier_to_lead ? "attn" : "info"; word: page.job.earlier_says }
        Item { width: 1; height: 1 * Metrics.mm }
        Words { visible: page.job.lists.equipment.count > 0; text: qsTr("Test equipment"); bold: true; font.pixelSize: Type.label }
        Column {
            width: parent.width
        Repeater {
            model: page.job.lists.equipment
            Item {
                id: tool
                required property string title
                required property string words
                required property int index
                readonly property bool ended: words.startsWith("ended")
                width: parent.width
                readonly property bool under: name.implicitWidth + until.implicitWidth + 2 * Metrics.mm > width
                height: Math.max(5.8 * Metrics.mm * Math.max(1, Metrics.text_scale * 0.9), name.height + (under ? until.height : 0) + 0.6 * Metrics.mm)
                Accessible.role: Accessible.ListItem
                Accessible.name: title + ", " + words
                MarkWord { id: name; mark: tool.ended ? "info" : "good"; word: tool.title; y: (parent.height - height - (tool.under ? until.height : 0)) / 2 }
                Figures { id: until; x: tool.under ? 6.1 * Metrics.mm : parent.width - width; y: tool.under ? name.y + name.height : (parent.height - height) / 2; text: tool.words; font.family: tool.ended ? Type.words : Type.figures }
                Rule { anchors.bottom: parent.bottom; width: parent.width; visible: tool.index < page.job.lists.equipment.count - 1 }
            }
        }
        }
        Words { visible: page.job.aircraft !== ""; text: qsTr("Aircraft"); bold: true; font.pixelSize: Type.label; topPadding: 1 * Metrics.mm }
        Words { width: parent.width; text: [page.job.tail, page.job.aircraft, page.job.unit].filter(word => word !== "").join(", ") }
        Words { visible: page.job.lists.earlier.count > 0; text: qsTr("Earlier on this aircraft"); width: parent.width; bold: true; font.pixelSize: Type.label; topPadding: 1 * Metrics.mm }
        Repeater {
            model: page.job.lists.earlier
            Item {
                id: past
                required property string on
                required property string complaint
                required property string came_to
                required property int index
                visible: index < 3
                width: parent.width
                height: visible ? told.implicitHeight + 1 * Metrics.mm : 0
                Accessible.role: Accessible.StaticText
                Accessible.name: on + ", " + complaint + ": " + came_to
                Figures { id: day; text: past.on; width: 14 * Metrics.mm * Metrics.text_scale }
                Words { id: told; x: day.width + 1.5 * Metrics.mm; width: parent.width - x; text: past.complaint + ": " + past.came_to }
            }
        }
    }
    Cautions { id: cautions; visible: page.phone || page.big; width: page.width; job: page.job; phone: true }
}
