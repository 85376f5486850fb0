// What every key does: acts on release inside, sliding off cancels; a hold key wants one second, or arm and confirm by keyboard;
// a waiting key says why and does nothing.
pragma ComponentBehavior: Bound
import QtQuick
import Chockside.Theme
import Chockside.Parts

Item {
    id: key
    property string label
    /// What acting on it would do. A touch or an armed key counts only while it stays the same; where the label holds figures that run, it is less than the label.
    property string asks: label
    property string why
    /// A tap does nothing yet: see LargeKey.
    property bool fresh: false
    property bool waits: false
    property bool hold: false
    property bool chosen: false
    property bool large: false
    property bool mine: false
    property bool faced: true
    property bool armed: false
    property int holdMs: 1000
    readonly property alias progress: face.progress
    readonly property bool down: tap.pressed && !waits
    default property alias content: inside.data
    signal acted()
    /// It was meant to act and waits.
    signal refused()

    function act() {
        armed = false
        face.empty()
        if (!waits)
            acted()
    }
    function act_by_key() {
        if (waits)
            refused()
        if (waits || fresh)
            return
        if (hold && !armed)
            armed = true
        else
            act()
    }

    activeFocusOnTab: true
    implicitWidth: 15 * Metrics.mm
    implicitHeight: 15 * Metrics.mm
    onActiveFocusChanged: if (!activeFocus) armed = false
    onAsksChanged: armed = false

    Accessible.role: Accessible.Button
    Accessible.name: label
    Accessible.description: waits ? why : hold ? (armed ? qsTr("Armed. Press again to confirm.") : [why, qsTr("Hold one second, or press twice.")].filter(part => part !== "").join(". ")) : why
    Accessible.focusable: true
    Accessible.checked: chosen
    Accessible.onPressAction: act_by_key()

    Keys.onPressed: event => {
        if (event.isAutoRepeat)
            return
        if (event.key === Qt.Key_Space || event.key === Qt.Key_Return || event.key === Qt.Key_Enter) {
            act_by_key()
            event.accepted = true
        } else if (event.key === Qt.Key_Escape && armed) {
            armed = false
            event.accepted = true
        }
    }

    KeyFace {
        id: face
        visible: key.faced || key.activeFocus
        anchors.fill: parent
        anchors.margins: key.activeFocus && key.faced ? -1.2 * Metrics.mm : 0
        bare: !key.faced
        large: key.large
        waits: key.waits
        chosen: key.chosen
        mine: key.mine
        down: key.down
        focused: key.activeFocus
        onFilled: if (tap.pressed && key.asks === tap.meant) key.act()
    }
    Item {
        id: inside
        anchors.fill: parent
        anchors.topMargin: key.down && key.faced ? 1 * Metrics.mm : 0
        anchors.bottomMargin: key.faced && !key.waits ? 1.4 * Metrics.mm : 0
    }
    TapHandler {
        id: tap
        gesturePolicy: TapHandler.ReleaseWithinBounds
        longPressThreshold: 3600 // a gloved finger may rest: letting go acts, however late
        // As the finger came down: what the key asks by the time it is let go is another question, and not answered by it.
        property bool held: false
        property bool early: false
        property bool idle: false
        property string meant
        onTapped: if (idle) key.refused(); else if (!held && !early && !key.hold && key.asks === meant) key.act()
        onPressedChanged: {
            if (pressed) {
                idle = key.waits
                held = key.hold && !idle
                early = key.fresh
                meant = key.asks
            }
            if (!held)
                return
            if (pressed)
                face.fill(key.holdMs)
            else
                face.empty()
        }
    }
}
