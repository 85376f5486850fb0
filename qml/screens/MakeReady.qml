// Make ready: buses with breakers seen as circuits, and the three waits; the running one is the ring.
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
    readonly property bool stacked: portrait || phone || Metrics.big

    implicitHeight: stacked ? wait.height + 4 * Metrics.mm + buses.height : Math.max(buses.height, wait.height)
    Row {
        id: buses
        y: page.stacked ? wait.height + 4 * Metrics.mm : 0
        spacing: 2.8 * Metrics.mm
        width: page.stacked ? page.width : Math.round(page.width * 0.565)
        Repeater {
            model: page.job.lists.buses
            BusColumn {
                required title
                required breakers
                width: (buses.width - buses.spacing * (page.job.lists.buses.count - 1)) / Math.max(1, page.job.lists.buses.count)
            }
        }
    }
    Item {
        id: wait
        x: page.stacked ? 0 : buses.width + 4.2 * Metrics.mm
        width: page.width - x
        height: page.stacked ? Math.max(faces.height, list.height) : faces.height + list.height + 3 * Metrics.mm
        readonly property int current: {
            for (let i = 0; i < page.job.lists.waits.count; ++i)
                if (page.job.lists.waits.value(i, "running"))
                    return i
            return -1
        }
        Column {
            id: faces
            x: page.portrait && !page.phone ? 1.9 * Metrics.mm : page.stacked ? 0 : (parent.width - width) / 2
            Repeater {
                model: page.job.lists.waits
                WaitFace {
                    required property int index
                    required property bool running
                    required title
                    required fraction
                    required total
                    required property string left_text
                    remaining: left_text
                    visible: running && index === wait.current
                    width: visible ? (page.phone ? 30 : page.stacked ? 38 : 35) * Metrics.mm : 0
                    height: visible ? width : 0
                }
            }
            MarkWord { visible: wait.current < 0 && page.job.lists.waits.count === 0; mark: "none"; word: qsTr("No wait runs") }
        }
        WaitList {
            id: list
            x: page.stacked && wait.current >= 0 ? faces.x + faces.width + 4 * Metrics.mm : 0
            y: page.stacked ? Math.max(0, (faces.height - height) / 2) : faces.height + 2 * Metrics.mm
            width: parent.width - x
            waits: page.job.lists.waits
        }
    }
}
