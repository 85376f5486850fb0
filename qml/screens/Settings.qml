// Theme, text size, working hand and who works.
pragma ComponentBehavior: Bound
import QtQuick
import Chockside.Theme
import Chockside.Parts
import Chockside.Models

Column {
    id: page
    required property SettingsModel settings
    property LockModel lock
    property bool phone: false
    property real room: 0
    readonly property real cell: Math.min(34 * Metrics.mm, (width - 2 * 2.4 * Metrics.mm) / 3)

    spacing: 2 * Metrics.mm
    Words { text: qsTr("Light"); bold: true; font.pixelSize: Type.row }
    Row {
        spacing: 2.4 * Metrics.mm
        Repeater {
            model: [["day", qsTr("Day")], ["sun", qsTr("Sun")], ["night", qsTr("Night")]]
            SecondaryKey {
                required property var modelData
                required property int index
                width: page.cell
                icon: modelData[0]
                word: modelData[1]
                chosen: page.settings.light === index
                onActed: page.settings.light = index
            }
        }
    }
    Words { text: qsTr("Text size"); bold: true; font.pixelSize: Type.row; topPadding: 1.6 * Metrics.mm }
    Row {
        spacing: 2.4 * Metrics.mm
        Repeater {
            model: [1, 1.5, 2]
            SecondaryKey {
                required property real modelData
                width: page.cell
                word: Math.round(modelData * 100) + " %"
                chosen: page.settings.text_scale === modelData
                onActed: page.settings.text_scale = modelData
            }
        }
    }
    Words { text: qsTr("Working hand"); bold: true; font.pixelSize: Type.row; topPadding: 1.6 * Metrics.mm }
    Row {
        spacing: 2.4 * Metrics.mm
        Repeater {
            model: [["left", qsTr("Left")], ["right", qsTr("Right")]]
            SecondaryKey {
                required property var modelData
                required property int index
                width: page.cell
                icon: modelData[0]
                word: modelData[1]
                chosen: page.settings.left_hand === (index === 0)
                onActed: page.settings.left_hand = index === 0
            }
        }
    }
    Words { text: qsTr("Lock without a touch for"); width: page.width; bold: true; font.pixelSize: Type.row; topPadding: 1.6 * Metrics.mm }
    Row {
        spacing: 2.4 * Metrics.mm
        Repeater {
            model: [5, 15, 60]
            SecondaryKey {
                required property int modelData
                width: page.cell
                word: qsTr("%1 min").arg(modelData)
                chosen: page.settings.lock_minutes === modelData
                onActed: page.settings.lock_minutes = modelData
            }
        }
    }
    Row {
        spacing: 2.4 * Metrics.mm
        SecondaryKey { id: now; visible: page.lock.possible; objectName: "lock_now"; width: page.cell; word: qsTr("Lock now"); onActed: page.lock.lock() }
        Words {
            width: page.width - (now.visible ? page.cell + parent.spacing : 0)
            anchors.verticalCenter: now.visible ? now.verticalCenter : undefined
            second: true
            text: page.lock.possible ? qsTr("%1 can open it.").arg(page.lock.people.join(", ")) : qsTr("Nobody has a PIN here yet: the first signature makes one, and from then on a start asks for it.")
        }
    }
    Words { width: page.width; second: true; text: page.lock.in_keyring ? qsTr("This device's own key lies in the system's keyring.") : qsTr("This device's own key lies in a file that only this account reads. Encrypt the disk as well.") }
    Field { width: Math.min(60 * Metrics.mm, parent.width); title: qsTr("Your initials"); text: page.settings.person; large_letters: true; onEdited: text => page.settings.person = text }
    Words { width: parent.width; second: true; text: qsTr("This bar is 85.6 mm long where sizes are right: lay a bank card on it.") }
    Rectangle { width: Math.min(parent.width, 85.6 * Metrics.mm); height: 1.9 * Metrics.mm; color: Palette.line }
}
