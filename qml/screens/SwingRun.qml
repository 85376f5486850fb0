// A swing while it runs: live readings, the next heading, and the deviation so far with its band.
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

    spacing: 2 * Metrics.mm
    Grid {
        id: figures
        columns: page.phone || Metrics.big ? 2 : Math.max(1, page.job.lists.readings.count)
        rowSpacing: 1 * Metrics.mm
        visible: page.job.lists.readings.count > 0
        width: parent.width
        Repeater {
            model: page.job.lists.readings
            Column {
                id: live
                required property string label
                required property string value
                required property string unit
                required property string word
                required property string mark
                width: figures.width / figures.columns
                Accessible.role: Accessible.StaticText
                Accessible.name: label + " " + value + " " + unit + " " + word
                Words { text: live.label; second: true; width: parent.width - 1 * Metrics.mm }
                Figures { text: live.value + (live.unit === "°" ? "" : "\u00a0") + live.unit; font.pixelSize: page.phone ? Type.row : Type.live }
                MarkWord { visible: live.word !== ""; mark: live.mark; word: live.word; bold: true }
            }
        }
    }
    Item {
        width: parent.width
        readonly property bool under: head.visible && head.implicitWidth + state.implicitWidth + 3 * Metrics.mm > width
        height: under ? head.height + state.height : Math.max(head.visible ? head.height : 0, state.height)
        Words { id: head; visible: !page.phone; text: qsTr("Deviation, degrees"); bold: true; font.pixelSize: Type.label; wrapMode: Text.NoWrap }
        MarkWord {
            id: state
            most: parent.width
            x: parent.under ? 0 : parent.width - width
            y: parent.under ? head.height : (parent.height - height) / 2
            mark: "unver"
            word: qsTr("not proven, %1 of %2").arg(page.job.swing_points.length).arg(page.job.swing_wanted)
        }
    }
    SwingPlot {
        width: parent.width
        height: Math.max(34 * Metrics.mm, page.room - figures.height - head.height - 5 * Metrics.mm)
        points: page.job.swing_points
        band: page.job.swing_band
        tolerance: page.job.swing_tolerance
        next: page.job.swing_next
        wanted: page.job.swing_wanted
        text_px: Type.floor
        Accessible.role: Accessible.Graphic
        Accessible.name: qsTr("Deviation over heading, %1 points").arg(page.job.swing_points.length)
    }
}
