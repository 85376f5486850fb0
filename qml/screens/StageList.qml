// The seven stages as rows, on a phone where the rail is one key.
pragma ComponentBehavior: Bound
import QtQuick
import Chockside.Theme
import Chockside.Parts
import Chockside.Models

Column {
    id: list
    required property JobModel job
    property int shown: 0
    signal picked(int stage)

    Repeater {
        model: list.job.lists.rail
        RailCell {
            required title
            required word
            required filled
            required here
            required property int stage
            required property string state
            width: list.width
            height: Math.max(13 * Metrics.mm, Type.floor * 3)
            named: true
            state_name: row_state
            readonly property string row_state: state
            index: stage
            seen: stage === list.shown
            onActed: list.picked(stage)
        }
    }
}
