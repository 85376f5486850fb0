// The warnings of the job in one row, last on the write-up, nearest the hands.
pragma ComponentBehavior: Bound
import QtQuick
import Chockside.Theme
import Chockside.Parts
import Chockside.Models

Grid {
    id: root
    required property JobModel job
    property bool phone: false
    readonly property int per: phone || Metrics.big ? 1 : Math.min(3, Math.max(1, job.lists.cautions.count))

    columns: per
    columnSpacing: 3 * Metrics.mm
    rowSpacing: 0.8 * Metrics.mm
    Repeater {
        model: root.job.lists.cautions
        HazardBlock {
            required word
            required says
            width: (root.width - root.columnSpacing * (root.per - 1)) / root.per
            ruled: false
            oneLine: root.phone || Metrics.big
        }
    }
}
