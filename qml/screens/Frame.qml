// Where strip, rail, centre and record stand. Left is the job, centre is what the aircraft says, right is what we say; the left hand
// changes sides, portrait and phone stack in reading order.
import QtQuick
import Chockside.Theme
import Chockside.Parts

Item {
    id: frame
    property string form: "landscape"
    property bool practice: false
    property real recordHeight: 0
    property alias strip: stripSlot.data
    property alias rail: railSlot.data
    property alias centre: centreSlot.data
    property alias record: recordSlot.data
    readonly property bool side: form === "landscape"
    readonly property real railSize: (form === "landscape" ? (Metrics.big ? 15.5 : 30.5) : form === "portrait" ? Math.max(16.5, 8 + 8.4 * Metrics.text_scale) : 7.9 + 4.1 * Metrics.text_scale) * Metrics.mm
    readonly property real recordWidth: (Metrics.big ? 54.5 : 45) * Metrics.mm
    readonly property real centreHeight: centreSlot.height
    readonly property real centreWidth: centreSlot.width
    readonly property real below: stripSlot.height + band.height

    Item {
        id: stripSlot
        width: parent.width
        height: (frame.form === "phone" ? 12.6 : 14.6) * Metrics.mm
    }
    PracticeBand {
        id: band
        y: stripSlot.height
        width: parent.width
        height: frame.practice ? Math.round(1.6 * Metrics.mm) : 0
        visible: frame.practice
    }
    Item {
        id: railSlot
        y: frame.below
        x: frame.side && Metrics.left_hand ? parent.width - width : 0
        width: frame.side ? frame.railSize : parent.width
        height: frame.side ? parent.height - y : frame.railSize
    }
    Rectangle {
        id: centreSlot
        color: Palette.panel
        x: frame.side ? (Metrics.left_hand ? frame.recordWidth : frame.railSize) : 0
        y: frame.side ? frame.below : frame.below + frame.railSize
        width: frame.side ? parent.width - frame.railSize - frame.recordWidth : parent.width
        height: frame.side ? parent.height - y : parent.height - y - recordSlot.height
    }
    Item {
        id: recordSlot
        x: frame.side ? (Metrics.left_hand ? 0 : parent.width - width) : 0
        y: frame.side ? frame.below : parent.height - height
        width: frame.side ? frame.recordWidth : parent.width
        height: frame.side ? parent.height - frame.below : frame.recordHeight
    }
}
