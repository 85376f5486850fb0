// Lines that nobody but the person can fill: each is asked for, none stands there already.
pragma ComponentBehavior: Bound
import QtQuick
import Chockside.Theme
import Chockside.Parts
import Chockside.Models

Grid {
    id: form
    required property JobModel job
    property bool phone: false
    property real room: 0
    readonly property bool two: !phone && !Metrics.big

    columns: two ? 2 : 1
    columnSpacing: 3.2 * Metrics.mm
    rowSpacing: 2.4 * Metrics.mm
    Repeater {
        model: form.job.fields
        Field {
            required property var modelData
            width: form.two ? (form.width - form.columnSpacing) / 2 : form.width
            objectName: "field:" + modelData.id
            title: modelData.title
            text: form.job.draft[modelData.id] ?? ""
            onEdited: text => form.job.fill(modelData.id, text)
        }
    }
}
