// Put right: off and on as two papers; at once what the act owes, by what rule, who, how long, against the time left.
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
    readonly property bool two: !phone && !Metrics.big
    readonly property bool papers: job.part_off.filled === true || job.part_on.filled === true

    spacing: 2.6 * Metrics.mm
    MarkWord { visible: page.job.finding !== ""; mark: "attn"; word: qsTr("Finding: %1").arg(page.job.finding); bold: true }
    Grid {
        visible: page.papers
        width: parent.width
        columns: page.two ? 2 : 1
        columnSpacing: 3.2 * Metrics.mm
        rowSpacing: 2 * Metrics.mm
        Repeater {
            model: [page.job.part_off, page.job.part_on]
            PaperFrame {
                id: paper
                required property var modelData
                required property int index
                tag: index === 0
                width: page.two ? (page.width - 3.2 * Metrics.mm) / 2 : page.width
                height: lines.height + 4 * Metrics.mm
                Accessible.role: Accessible.StaticText
                Accessible.name: [modelData.title, modelData.tag, modelData.part, modelData.serial, modelData.certificate, modelData.reason].filter(part => part !== undefined && part !== "").join(", ")
                Rectangle {
                    visible: paper.modelData.tag !== ""
                    anchors { right: parent.right; rightMargin: 2.8 * Metrics.mm; top: parent.top; topMargin: 1.9 * Metrics.mm }
                    width: number.width + 3.4 * Metrics.mm
                    height: number.height + 1 * Metrics.mm
                    color: Palette.tile
                    radius: 0.8 * Metrics.mm
                    Text { id: number; anchors.centerIn: parent; text: paper.modelData.tag; color: Palette.onTile; font.family: Type.code; font.pixelSize: Type.floor }
                }
                Column {
                    id: lines
                    x: (paper.tag ? 8.8 : 3) * Metrics.mm
                    y: 2 * Metrics.mm
                    width: parent.width - x - 2 * Metrics.mm
                    spacing: 0.5 * Metrics.mm
                    Words { text: paper.modelData.title === "" ? (paper.tag ? qsTr("Off") : qsTr("On")) : paper.modelData.title; bold: true; font.pixelSize: Type.label; wrapMode: Text.NoWrap }
                    Words { width: parent.width; text: paper.modelData.part + (paper.modelData.serial === "" ? "" : qsTr(", serial %1").arg(paper.modelData.serial)); bold: true }
                    Words { width: parent.width; visible: paper.modelData.certificate !== ""; text: qsTr("Certificate %1 seen").arg(paper.modelData.certificate) }
                    Words { width: parent.width; visible: text !== ""; text: paper.modelData.reason }
                }
            }
        }
    }
    Column {
        visible: page.job.lists.owed.count > 0
        width: parent.width
        Item {
            width: parent.width
            height: head.height + 1 * Metrics.mm
            Words { id: head; text: qsTr("Owed before release"); bold: true; font.pixelSize: Type.label; wrapMode: page.two ? Text.NoWrap : Text.Wrap; width: parent.width - unit.width - 2 * Metrics.mm }
            Words { visible: page.two; x: parent.width * 0.46; text: qsTr("by"); second: true; anchors.baseline: head.baseline }
            Words { visible: page.two; x: parent.width * 0.77; text: qsTr("who"); second: true; anchors.baseline: head.baseline }
            Words { id: unit; anchors { right: parent.right; baseline: head.baseline } text: qsTr("min"); second: true }
        }
        Repeater {
            model: page.job.lists.owed
            Item {
                id: owed
                required property string title
                required property string rule
                required property string who
                required property string word
                required property string mark
                required property string minutes
                width: page.width
                height: Math.max(6.6 * Metrics.mm, Math.max(said.implicitHeight, page.two ? rule.implicitHeight : 0, page.two ? who.implicitHeight : 0) + 1.4 * Metrics.mm)
                Accessible.role: Accessible.ListItem
                Accessible.name: title + ", " + owed.rule + ", " + owed.who + ", " + minutes + " min" + ", " + (word === "" ? sign.word : word)
                Rule { width: parent.width }
                Mark { id: sign; name: owed.mark; width: 4.2 * Metrics.mm; height: width; anchors.verticalCenter: parent.verticalCenter }
                Words { id: said; anchors { left: sign.right; leftMargin: 1.6 * Metrics.mm; verticalCenter: parent.verticalCenter } width: (page.two ? page.width * 0.46 : page.width - cost.width - 1 * Metrics.mm) - x - 1 * Metrics.mm; text: owed.title }
                Words { id: rule; visible: page.two; x: page.width * 0.46; width: page.width * 0.3; text: owed.rule; second: true; anchors.verticalCenter: parent.verticalCenter }
                Words { id: who; visible: page.two; x: page.width * 0.77; width: page.width * 0.16; text: owed.who; anchors.verticalCenter: parent.verticalCenter }
                Figures { id: cost; anchors { right: parent.right; verticalCenter: parent.verticalCenter } text: owed.minutes }
            }
        }
        Rule { width: parent.width }
    }
    Repeater {
        model: page.job.not_owed
        Row {
            id: none
            required property string modelData
            width: page.width
            spacing: 1.8 * Metrics.mm
            Mark { name: "info"; width: 4.2 * Metrics.mm; height: width }
            Words { width: parent.width - 6.2 * Metrics.mm; text: none.modelData; second: true }
        }
    }
    TimeLine {
        visible: page.job.lists.owed.count > 0 && page.job.departure !== ""
        width: parent.width
        above: true
        filled: page.job.owed_share
        filledText: page.job.owed_minutes === 0 ? "" : page.job.owed_minutes >= 60 ? qsTr("owed %1 h %2").arg(Math.floor(page.job.owed_minutes / 60)).arg(String(page.job.owed_minutes % 60).padStart(2, "0")) : qsTr("owed %1 min").arg(page.job.owed_minutes)
        decideAt: page.job.decide === "" ? -1 : page.job.decide_share
        decideText: page.job.decide === "" || page.phone ? "" : qsTr("decide %1").arg(page.job.decide)
        endText: qsTr("leaves %1").arg(page.job.departure)
        startText: page.job.utc
    }
}
