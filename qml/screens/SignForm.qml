// Who signs: the key of somebody known here wants the PIN alone; somebody new gives name, certificate and a PIN of their own once.
import QtQuick
import Chockside.Theme
import Chockside.Parts
import Chockside.Models

Column {
    id: form
    required property JobModel job
    property bool phone: false
    readonly property bool known: job.signer_known
    readonly property bool three: !phone && !Metrics.big
    readonly property real one: three ? (width - 2 * spacing) / 3 : width

    spacing: 3 * Metrics.mm
    // One below the other they come in the order in which one says them.
    Grid {
        flow: Grid.TopToBottom
        rows: form.three ? 2 : 6
        columns: 3
        columnSpacing: form.spacing
        rowSpacing: 2 * Metrics.mm
        Field { width: form.one; objectName: "field:person"; title: qsTr("Initials"); text: form.job.draft.person ?? form.job.person; large_letters: true; onEdited: text => form.job.fill("person", text) }
        Words { visible: form.known; width: form.one; text: form.job.signer_words; maximumLineCount: 3; elide: Text.ElideRight }
        Field { visible: !form.known; width: form.one; objectName: "field:name"; title: qsTr("Name"); text: form.job.draft.name ?? ""; onEdited: text => form.job.fill("name", text) }
        Field { visible: !form.known; width: form.one; objectName: "field:certificate_kind"; title: qsTr("Kind of certificate"); text: form.job.draft.certificate_kind ?? ""; onEdited: text => form.job.fill("certificate_kind", text) }
        Field { visible: !form.known; width: form.one; objectName: "field:certificate_number"; title: qsTr("Number"); code: true; text: form.job.draft.certificate_number ?? ""; onEdited: text => form.job.fill("certificate_number", text) }
        Field { width: form.one; objectName: "field:pin"; title: form.known ? qsTr("PIN") : qsTr("New PIN, 6 or more"); secret: true; text: form.job.draft.pin ?? ""; onEdited: text => form.job.fill("pin", text) }
        Field { visible: !form.known; width: form.one; objectName: "field:pin_again"; title: qsTr("The PIN again"); secret: true; text: form.job.draft.pin_again ?? ""; onEdited: text => form.job.fill("pin_again", text) }
    }
}
