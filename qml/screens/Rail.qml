// The job as one line through seven stages: standing on a tablet, lying in portrait, one key on a phone.
pragma ComponentBehavior: Bound
import QtQuick
import Chockside.Theme
import Chockside.Parts
import Chockside.Models

Rectangle {
    id: rail
    required property JobModel job
    property string form: "landscape"
    property int shown: 0
    readonly property bool standing: form === "landscape"
    // Lying down a cell is as wide as its name, and a margin.
    readonly property int letters: job.lists.rail.all.reduce((sum, cell) => sum + cell.title.length + 4, 0)
    signal picked(int stage)
    signal listed()

    color: Palette.ground
    Grid {
        visible: rail.form !== "phone"
        anchors.fill: parent
        columns: rail.standing ? 1 : 7
        Repeater {
            model: rail.form === "phone" ? null : rail.job.lists.rail
            RailCell {
                required title
                required word
                required filled
                required here
                required property int stage
                required property string state
                width: rail.standing ? rail.width : rail.width * (title.length + 4) / Math.max(1, rail.letters)
                height: rail.standing ? rail.height / 7 : rail.height
                standing: rail.standing
                mirrored: rail.standing && Metrics.left_hand
                state_name: model_state
                readonly property string model_state: state
                index: stage
                objectName: "stage:" + stage
                seen: stage === rail.shown
                onActed: rail.picked(stage)
            }
        }
    }
    Key {
        visible: rail.form === "phone"
        anchors.fill: parent
        faced: false
        label: qsTr("Stage %1, %2, %3. Show all stages").arg(rail.shown + 1).arg(name.text).arg(state.text)
        asks: "stages"
        onActed: rail.listed()
        StageLine {
            x: 2.4 * Metrics.mm
            width: parent.width - 4.8 * Metrics.mm
            height: 7.4 * Metrics.mm
            pieces: rail.form === "phone" ? rail.job.pieces : []
            wedge: true
        }
        Row {
            anchors { left: parent.left; leftMargin: 2.4 * Metrics.mm; bottom: parent.bottom; bottomMargin: 0.8 * Metrics.mm }
            spacing: 1.2 * Metrics.mm
            Figures { text: rail.shown + 1 }
            Words { id: name; text: rail.job.lists.rail.all[rail.shown]?.title ?? ""; bold: true; wrapMode: Text.NoWrap }
        }
        Words {
            id: state
            anchors { right: parent.right; rightMargin: 2.4 * Metrics.mm; bottom: parent.bottom; bottomMargin: 0.8 * Metrics.mm }
            // Large text leaves it to the list of the stages.
            visible: implicitWidth + name.parent.width < parent.width - 7 * Metrics.mm
            text: rail.job.lists.rail.all[rail.shown]?.word ?? ""
            wrapMode: Text.NoWrap
        }
        Rectangle { anchors.bottom: parent.bottom; width: parent.width; height: Metrics.border; color: Palette.line }
    }
}
