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
    Grid {
        id: buses
        columns: page.phone && Metrics.big ? 1 : Math.max(1, page.job.lists.buses.count)
        y: page.stacked ? wait.height + 4 * Metrics.mm : 0
        spacing: 2.8 * Metrics.mm
        width: page.stacked ? page.width : Math.round(page.width * 0.565)
        Repeater {
            model: page.job.lists.buses
            BusColumn {
                required title
                required breakers
                room: page.stacked ? 0 : page.room
                most: Math.max(...page.job.lists.buses.all.map(bus => bus.breakers.length))
                width: (buses.width - buses.spacing * (buses.columns - 1)) / buses.columns
            }
        }
    }
    Item {
        id: wait
        x: page.stacked ? 0 : buses.width + 4.2 * Metrics.mm
        width: page.width - x
        height: page.stacked && !page.phone ? Math.max(faces.height, list.height) : faces.height + list.height + 3 * Metrics.mm
        readonly property int current: page.job.lists.waits.all.findIndex(one => one.running)
        readonly property var running: page.job.lists.waits.all[current]
        Column {
            id: faces
            x: page.phone ? 0 : page.portrait ? 1.9 * Metrics.mm : page.stacked ? 0 : (parent.width - width) / 2
            WaitFace {
                visible: wait.current >= 0 && !page.phone
                width: (Metrics.big ? 46 : page.stacked ? 38 : 35) * Metrics.mm
                height: width
                title: wait.running?.title ?? ""
                fraction: wait.running?.fraction ?? 0
                remaining: wait.running?.left_text ?? ""
                total: wait.running?.total ?? ""
            }
            Column {
                visible: wait.current >= 0 && page.phone
                width: wait.width
                spacing: 1.2 * Metrics.mm
                Flow {
                    width: parent.width
                    spacing: 2.4 * Metrics.mm
                    Figures { text: wait.running?.left_text ?? ""; font.pixelSize: Type.figure }
                    Words { text: qsTr("%1\nof %2").arg(wait.running?.title ?? "").arg(wait.running?.total ?? ""); second: true }
                }
                Rectangle {
                    width: parent.width
                    height: 3.2 * Metrics.mm
                    color: "transparent"
                    border { color: Palette.line; width: Metrics.border }
                    Rectangle { width: parent.width * (wait.running?.fraction ?? 0); height: parent.height; color: Palette.line }
                }
            }
            MarkWord { visible: wait.current < 0 && page.job.lists.waits.count === 0; mark: "none"; word: qsTr("No wait runs") }
        }
        WaitList {
            id: list
            x: page.stacked && !page.phone && wait.current >= 0 ? faces.x + faces.width + 4 * Metrics.mm : 0
            y: page.stacked && !page.phone ? Math.max(0, (faces.height - height) / 2) : faces.height + 2 * Metrics.mm
            width: parent.width - x
            waits: page.job.lists.waits
        }
    }
}
