// What arrives on the line: figures and traces, with a freeze.
pragma ComponentBehavior: Bound
import QtQuick
import Chockside.Theme
import Chockside.Parts
import Chockside.Models

Column {
    id: page
    required property JobModel job
    required property LiveModel live
    property bool phone: false
    property real room: 0

    spacing: 2.4 * Metrics.mm
    Item {
        width: parent.width
        height: Math.max(freeze.height, state.height)
        MarkWord { id: state; mark: page.job.link_mark; word: page.job.link_word + (page.phone || page.job.link_detail === "" ? "" : ", " + page.job.link_detail); bold: true; most: page.width - freeze.width - 2 * Metrics.mm; anchors.verticalCenter: parent.verticalCenter }
        SecondaryKey { id: freeze; anchors.right: parent.right; width: 26 * Metrics.mm; icon: "freeze"; word: page.live.frozen ? qsTr("Frozen") : qsTr("Freeze"); chosen: page.live.frozen; onActed: page.live.frozen = !page.live.frozen }
    }
    Grid {
        width: parent.width
        columns: page.phone || Metrics.big ? 2 : 4
        Repeater {
            model: page.live.arriving ? page.live.figures : page.job.lists.live
            Column {
                id: figure
                required property string label
                required property string value
                required property string unit
                width: page.width / (page.phone || Metrics.big ? 2 : 4)
                Words { width: parent.width - 1 * Metrics.mm; text: figure.label; second: true }
                Figures { text: figure.value + (figure.unit === "" ? "" : figure.unit === "°" ? "°" : " " + figure.unit); font.pixelSize: page.phone ? Type.row : Math.round(4.9 * Metrics.mm * Metrics.text_scale) }
            }
        }
    }
    LivePlot {
        width: parent.width
        height: Math.max(40 * Metrics.mm, Math.min(80 * Metrics.mm, page.room - 40 * Metrics.mm))
        feed: page.live
        text_px: Type.floor
        Accessible.role: Accessible.Graphic
        Accessible.name: qsTr("Traces of the last two minutes")
    }
}
