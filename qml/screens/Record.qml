// What we say: the journal's thread, two secondary keys, and the one large key that is the next entry.
// Not Bound: the Loader of Qt 6.4 refuses bound components.
import QtQuick
import Chockside.Theme
import Chockside.Parts

Rectangle {
    id: record
    property string form: "landscape"
    property var entries: null
    property string unsent
    property string small
    property string word
    property string question         // what the large key answers: see LargeKey.about
    property bool ready: true
    property bool hold: false
    property var keys: []            // [{id, icon, word}]
    property string lastAt
    property string lastText
    readonly property bool side: form === "landscape"
    readonly property bool phone: form === "phone"
    readonly property real pad: (phone ? 1.9 : 2.5) * Metrics.mm
    signal pressed()
    signal keyed(string id)
    signal opened()

    color: Palette.ground
    implicitHeight: side ? 0 : large.height + pad * 2 + (keyed_rows.visible && phone ? keyed_rows.height + 2 * Metrics.mm : 0) + (last.visible ? last.height + 0.8 * Metrics.mm : 0)
    Rectangle { visible: record.side; x: Metrics.left_hand ? parent.width - width : 0; width: Metrics.border; height: parent.height; color: Palette.line }
    Rectangle { visible: !record.side; width: parent.width; height: Metrics.border; color: Palette.line }
    Item {
        id: head
        visible: record.side && !Metrics.big
        anchors { left: parent.left; right: parent.right; leftMargin: 2.9 * Metrics.mm; rightMargin: 2.5 * Metrics.mm; top: parent.top; topMargin: 2.2 * Metrics.mm }
        height: title.height
        Words { id: title; text: qsTr("Journal"); bold: true; font.pixelSize: Type.label; wrapMode: Text.NoWrap }
        Words { anchors { right: parent.right; baseline: title.baseline } text: record.unsent; second: true; wrapMode: Text.NoWrap }
    }
    Key {
        visible: record.side && !Metrics.big && record.entries !== null
        faced: false
        label: qsTr("Journal, %1. Show all entries").arg(record.unsent)
        asks: "journal"
        anchors { left: parent.left; right: parent.right; leftMargin: 1 * Metrics.mm; top: parent.top; bottom: sideKeys.top }
        onActed: record.opened()
    }
    Loader {
        active: record.entries !== null
        visible: record.side && !Metrics.big
        anchors { left: parent.left; leftMargin: 2.9 * Metrics.mm; right: parent.right; rightMargin: 2.5 * Metrics.mm; top: head.bottom; topMargin: 1.6 * Metrics.mm; bottom: sideKeys.top }
        sourceComponent: JournalThread { entries: visible ? record.entries : null }
    }
    Rectangle {
        visible: record.side && (record.entries !== null || record.keys.length > 0)
        x: 2.9 * Metrics.mm + 1.45 * Metrics.mm - width / 2
        y: sideKeys.y
        width: 0.65 * Metrics.mm
        height: large.y - y
        color: Palette.line
    }
    Rectangle {
        visible: record.side && (record.entries !== null || record.keys.length > 0)
        x: 2.9 * Metrics.mm
        y: large.y - height - (large.activeFocus ? 1.2 * Metrics.mm : 0)
        width: 2.9 * Metrics.mm
        height: 1.4 * Metrics.mm
        color: Palette.line
    }
    Item {
        id: sideKeys
        visible: record.side
        anchors { left: parent.left; leftMargin: 7.65 * Metrics.mm; right: parent.right; rightMargin: 2.5 * Metrics.mm; bottom: large.top; bottomMargin: 5.2 * Metrics.mm }
        readonly property real gap: (Metrics.big && !stacked ? 2.4 : 5) * Metrics.mm
        // Beside large text the keys stand one above the other, the first one nearest to the hand, where the large key leaves room for it.
        readonly property real room: large.y - 5.2 * Metrics.mm - 2.2 * Metrics.mm
        readonly property int count: Math.min(record.keys.length, 2)
        readonly property bool stacked: Metrics.big && room >= 36.2 * Metrics.mm
        readonly property real one: stacked ? Math.min(19.6 * Metrics.mm, (room - (count - 1) * gap) / Math.max(1, count)) : Math.max(15.6 * Metrics.mm, first.implicitHeight, second.implicitHeight)
        height: !visible || count === 0 ? 0 : stacked ? count * one + (count - 1) * gap : one
        SideKey { id: first; place: 0 }
        SideKey { id: second; place: 1 }
    }
    Row {
        id: last
        objectName: "newest"
        visible: !record.side && !Metrics.big && record.lastText !== ""
        x: record.side ? 0 : record.phone ? record.pad : large.x
        y: 1.3 * Metrics.mm
        width: record.width - x - record.pad
        spacing: 1.6 * Metrics.mm
        Item {
            width: 2.9 * Metrics.mm
            height: line.height
            Rectangle { x: 1.45 * Metrics.mm - width / 2; y: 1 * Metrics.mm; width: 0.65 * Metrics.mm; height: 6.6 * Metrics.mm; color: Palette.line }
            Rectangle { y: 0.8 * Metrics.mm; width: 2.9 * Metrics.mm; height: width; color: Palette.ground; border { color: Palette.line; width: Metrics.border } }
        }
        Figures { id: line; text: record.lastAt; second: true }
        Words { text: record.lastText; wrapMode: Text.NoWrap; elide: Text.ElideRight; width: parent.width - line.width - 8 * Metrics.mm }
    }
    Rectangle { visible: last.visible; x: last.x; y: large.y - height; width: 2.9 * Metrics.mm; height: 1.2 * Metrics.mm; color: Palette.line }
    KeyGrid {
        id: keyed_rows
        columns: 2
        visible: !record.side && record.keys.length > 0 && !(record.phone && !record.wantKeys)
        x: record.phone ? record.pad + 4.8 * Metrics.mm : Metrics.left_hand ? record.width - width - record.pad : record.pad
        y: record.phone ? large.y - height - 2 * Metrics.mm : large.y
        spacing: 5 * Metrics.mm
        Repeater {
            model: record.side ? [] : record.keys.slice(0, 2)
            SecondaryKey {
                required property var modelData
                objectName: "side:" + modelData.id
                width: record.phone ? (record.width - 2 * record.pad - 9.8 * Metrics.mm) / 2 : (Metrics.big ? 27 : 19) * Metrics.mm
                height: record.phone ? keyed_rows.tallest : large.height
                icon: record.phone ? "" : modelData.icon
                word: modelData.word
                waits: modelData.waits === true
                why: modelData.why ?? ""
                onActed: record.keyed(modelData.id)
            }
        }
    }
    component SideKey: SecondaryKey {
        property int place: 0
        readonly property var what: record.side ? record.keys[place] : undefined
        visible: what !== undefined
        objectName: visible ? "side:" + what.id : ""
        x: sideKeys.stacked ? 0 : place * (width + sideKeys.gap)
        y: sideKeys.stacked ? sideKeys.height - (place + 1) * height - place * sideKeys.gap : 0
        width: sideKeys.stacked || sideKeys.count === 1 ? sideKeys.width : (sideKeys.width - sideKeys.gap) / 2
        height: sideKeys.one
        icon: what?.icon ?? ""
        word: what?.word ?? ""
        waits: what?.waits === true
        why: what?.why ?? ""
        onActed: record.keyed(what.id)
    }
    property bool wantKeys: false
    LargeKey {
        id: large
        objectName: "largeKey"
        small: record.small
        word: record.word
        about: record.question
        waits: !record.ready
        hold: record.hold
        width: record.side ? record.width - 2.9 * Metrics.mm - 2.5 * Metrics.mm : record.phone || !keyed_rows.visible ? record.width - 2 * record.pad : record.width - 2 * record.pad - keyed_rows.width - 5 * Metrics.mm
        height: Math.max(implicitHeight, !record.side && !record.phone && keyed_rows.visible ? keyed_rows.tallest : 0)
        x: record.side ? 2.9 * Metrics.mm : record.phone || Metrics.left_hand || !keyed_rows.visible ? record.pad : record.width - width - record.pad
        y: record.height - height - record.pad
        implicitHeight: Math.max((record.side ? 24 : 20) * Metrics.mm, lines_height + 6 * Metrics.mm)
        onActed: record.pressed()
    }
}
