// Locked: nothing that is kept can be read until one of those who may gives their PIN. What the line says goes on being kept.
pragma ComponentBehavior: Bound
import QtQuick
import Chockside.Theme
import Chockside.Parts
import Chockside.Models

Frame {
    id: screen
    required property HomeModel home
    required property SettingsModel settings
    required property LockModel lock
    property string pin
    readonly property bool phone: form === "phone"

    function open() {
        const typed = pin
        pin = ""
        lock.unlock(typed)
    }

    recordHeight: recordItem.implicitHeight
    strip: StateStrip { anchors.fill: parent; home: screen.home; settings: screen.settings; form: screen.form }
    rail: Rectangle {
        anchors.fill: parent
        color: Palette.ground
        Rectangle {
            x: screen.side && !Metrics.left_hand ? parent.width - width : 0
            y: screen.side ? 0 : parent.height - height
            width: screen.side ? Metrics.border : parent.width
            height: screen.side ? parent.height : Metrics.border
            color: Palette.line
        }
    }
    record: Record {
        id: recordItem
        anchors.fill: parent
        form: screen.form
        unsent: ""
        small: screen.lock.trying ? qsTr("Looks at the PIN") : screen.pin === "" ? qsTr("Waits: the PIN") : qsTr("Opens the journal")
        word: qsTr("Unlock")
        ready: !screen.lock.trying && screen.pin !== ""
        onPressed: screen.open()
    }
    centre: Centre {
        id: centre
        anchors.fill: parent
        phone: screen.phone
        bannerKind: screen.lock.words === "" ? "" : "attention"
        bannerHead: screen.lock.words
        sentence: screen.lock.possible ? qsTr("Locked. Your PIN opens what is kept here.") : qsTr("Locked, and nobody here can open it. Tell the shop.")
        page: Column {
            width: centre.inner
            spacing: 3 * Metrics.mm
            Flow {
                width: parent.width
                spacing: 5 * Metrics.mm
                Repeater {
                    model: screen.lock.people
                    SecondaryKey {
                        required property string modelData
                        objectName: "who:" + modelData
                        width: 24 * Metrics.mm
                        height: 15 * Metrics.mm
                        word: modelData
                        chosen: screen.lock.person === modelData
                        onActed: screen.lock.person = modelData
                    }
                }
            }
            Field {
                visible: screen.lock.possible
                objectName: "field:unlock"
                width: Math.min(60 * Metrics.mm, parent.width)
                title: qsTr("PIN of %1").arg(screen.lock.person)
                secret: true
                text: screen.pin
                onEdited: text => screen.pin = text
                Keys.onReturnPressed: screen.open()
            }
            Words { width: parent.width; second: true; text: qsTr("What the line says goes on being kept. Five wrong PINs make the next try wait.") }
        }
    }
}
