// A swing that is over: the band between the hatched zones, the card as paper, the terms.
pragma ComponentBehavior: Bound
import QtQuick
import Chockside.Theme
import Chockside.Parts
import Chockside.Models

Column {
    id: page
    required property JobModel job
    property bool phone: false
    property bool two: true
    property real room: 0

    spacing: 2.2 * Metrics.mm
    MarkWord {
        visible: page.job.swing_result !== ""
        mark: page.job.swing_result === "pass" ? "good" : page.job.swing_result === "fail" ? "fail" : "unver"
        word: page.job.swing_result === "pass" ? qsTr("passes") : page.job.swing_result === "fail" ? qsTr("fails") : page.job.swing_result === "no_tolerance" ? qsTr("no limit known") : qsTr("not proven")
        bold: true
    }
    SwingPlot {
        width: parent.width
        height: Math.max(36 * Metrics.mm, Math.min(46 * Metrics.mm, page.room * 0.46))
        points: page.job.swing_points
        band: page.job.swing_band
        tolerance: page.job.swing_tolerance
        wanted: page.job.swing_wanted
        text_px: Type.floor
        Accessible.role: Accessible.Graphic
        Accessible.name: qsTr("Deviation over heading, %1 points").arg(page.job.swing_points.length)
    }
    Grid {
        width: parent.width
        columns: page.two ? 2 : 1
        columnSpacing: 4 * Metrics.mm
        rowSpacing: 2 * Metrics.mm
        Column {
            visible: page.job.swing_card.length > 0
            width: page.two ? (page.width - 4 * Metrics.mm) * 0.67 : page.width
            spacing: 1.2 * Metrics.mm
            Words { text: qsTr("Correction card"); bold: true; font.pixelSize: Type.label }
            CardPaper { width: parent.width; rows: page.job.swing_card }
        }
        Column {
            width: page.two ? (page.width - 4 * Metrics.mm) * 0.33 : page.width
            Words { text: qsTr("Terms, degrees"); bold: true; font.pixelSize: Type.label; bottomPadding: 1 * Metrics.mm }
            Repeater {
                model: page.job.swing_terms
                Item {
                    id: term
                    required property var modelData
                    required property int index
                    width: parent.width
                    height: Type.floor * 1.65
                    Words { x: 1 * Metrics.mm; text: term.modelData.name; bold: true; anchors.verticalCenter: parent.verticalCenter }
                    Figures { anchors { right: parent.right; rightMargin: parent.width * 0.42; verticalCenter: parent.verticalCenter } text: term.modelData.value }
                    Figures { anchors { right: parent.right; verticalCenter: parent.verticalCenter } text: term.modelData.error; second: true }
                    Rule { anchors.bottom: parent.bottom; width: parent.width; visible: term.index < page.job.swing_terms.length - 1 }
                }
            }
        }
    }
    Words { width: parent.width; text: page.job.swing_sentence; visible: text !== "" }
}
