// A job about to be opened, in the order in which it is known at the aircraft.
pragma ComponentBehavior: Bound
import QtQuick
import Chockside.Theme
import Chockside.Parts
import Chockside.Models

Column {
    id: page
    required property NewJobModel draft
    required property SettingsModel settings
    property bool phone: false
    property real room: 0
    readonly property bool narrow: phone || Metrics.big

    spacing: 2.4 * Metrics.mm
    Component.onCompleted: draft.look()

    Words { visible: text !== ""; width: parent.width; text: page.draft.given_words; bold: true; font.pixelSize: Type.row }
    Words { width: parent.width; text: qsTr("Aircraft and unit"); bold: true; font.pixelSize: Type.row }
    Repeater {
        model: page.draft.profiles
        Key {
            id: choice
            required property string id
            required property string label_text
            required property string detail
            required property bool wrong
            required chosen
            readonly property color ink: chosen ? Palette.onSel : Palette.ink
            objectName: "profile:" + id
            width: page.width
            height: lines.implicitHeight + 4 * Metrics.mm
            label: label_text + ", " + detail
            waits: wrong
            why: detail
            onActed: page.draft.choose_profile(id)
            Column {
                id: lines
                x: 3 * Metrics.mm
                width: parent.width - 6 * Metrics.mm
                anchors.verticalCenter: parent.verticalCenter
                Words { width: parent.width; text: choice.label_text; bold: true; color: choice.ink; font.pixelSize: Type.row }
                Words { width: parent.width; text: choice.detail; color: choice.ink }
            }
        }
    }
    Words { visible: page.draft.own_folder !== ""; width: parent.width; second: true; text: qsTr("A shop’s own profiles go into %1").arg(page.draft.own_folder); wrapMode: Text.WrapAnywhere }
    Rule { width: parent.width }
    Grid {
        id: fields
        width: parent.width
        columns: page.phone ? 1 : Metrics.big ? 2 : 3
        spacing: 2.4 * Metrics.mm
        readonly property real cell: (width - spacing * (columns - 1)) / columns
        Field { objectName: "field:tail"; width: fields.cell; code: true; large_letters: true; most: 16; title: qsTr("Tail"); text: page.draft.tail; onEdited: text => page.draft.tail = text }
        Field { objectName: "field:leaves"; width: fields.cell; code: true; most: 6; title: qsTr("Leaves, UTC"); text: page.draft.leaves; onEdited: text => page.draft.leaves = text }
        Field { objectName: "field:initials"; width: fields.cell; code: true; large_letters: true; most: 3; title: qsTr("Your initials"); text: page.settings.person; onEdited: text => page.settings.person = text }
    }
    Words { visible: page.draft.complaints.count > 0; width: parent.width; text: qsTr("What is written up"); bold: true; font.pixelSize: Type.row }
    Grid {
        id: kinds
        width: parent.width
        columns: page.narrow ? 1 : 3
        spacing: 2.4 * Metrics.mm
        readonly property real cell: (width - spacing * (columns - 1)) / columns
        Repeater {
            model: page.draft.complaints
            SecondaryKey {
                required property string id
                required property string label_text
                required chosen
                objectName: "complaint:" + id
                width: kinds.cell
                word: label_text
                onActed: page.draft.choose_complaint(id)
            }
        }
    }
    Field { objectName: "field:complaint"; width: parent.width; most: 200; title: qsTr("In the crew's words"); text: page.draft.complaint; onEdited: text => page.draft.complaint = text }
    Words { width: parent.width; text: qsTr("As you meet it"); bold: true; font.pixelSize: Type.row }
    Row {
        spacing: 2.4 * Metrics.mm
        SecondaryKey { objectName: "power:off"; width: Math.min(34 * Metrics.mm, (page.width - parent.spacing) / 2); word: qsTr("Power off"); chosen: !page.draft.powered; onActed: page.draft.powered = false }
        SecondaryKey { objectName: "power:on"; width: Math.min(34 * Metrics.mm, (page.width - parent.spacing) / 2); word: qsTr("Power on"); chosen: page.draft.powered; onActed: page.draft.powered = true }
    }
    Words { width: parent.width; text: qsTr("The unit's port, now or later"); bold: true; font.pixelSize: Type.row }
    PortList { width: parent.width; draft: page.draft; phone: page.phone }
    Words { visible: text !== ""; width: parent.width; text: page.draft.refusal; bold: true }
}
