// Who signs, and with what certificate. The large key writes it.
import QtQuick
import Chockside.Theme
import Chockside.Parts
import Chockside.Models

Grid {
    id: form
    required property JobModel job
    property bool phone: false
    readonly property bool three: !phone && !Metrics.big
    readonly property real rest: three ? width - 2 * columnSpacing - 18 * Metrics.mm : width

    columns: three ? 3 : 1
    columnSpacing: 3 * Metrics.mm
    rowSpacing: 2 * Metrics.mm
    Field { width: form.three ? 18 * Metrics.mm : form.rest; objectName: "field:person"; title: qsTr("Initials"); text: form.job.draft.person ?? form.job.person; large_letters: true; onEdited: text => form.job.fill("person", text) }
    Field { width: form.three ? form.rest * 0.6 : form.rest; objectName: "field:certificate_kind"; title: qsTr("Kind of certificate"); text: form.job.draft.certificate_kind ?? ""; onEdited: text => form.job.fill("certificate_kind", text) }
    Field { width: form.three ? form.rest * 0.4 : form.rest; objectName: "field:certificate_number"; title: qsTr("Certificate number"); code: true; text: form.job.draft.certificate_number ?? ""; onEdited: text => form.job.fill("certificate_number", text) }
}
