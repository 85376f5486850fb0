// Part off and part on as the two papers that the store wants.
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
    readonly property var papers: [
        {title: qsTr("Off"), tag: true, fields: [["off_number", qsTr("Part number")], ["off_serial", qsTr("Serial number")], ["off_tag", qsTr("Tag")], ["off_reason", qsTr("Why it comes off")]]},
        {title: qsTr("On"), tag: false, fields: [["on_number", qsTr("Part number")], ["on_serial", qsTr("Serial number")], ["on_certificate", qsTr("Certificate of the part")]]}]

    columns: two ? 2 : 1
    columnSpacing: 3.2 * Metrics.mm
    rowSpacing: 3 * Metrics.mm
    Repeater {
        model: form.papers
        PaperFrame {
            id: paper
            required property var modelData
            tag: modelData.tag
            width: form.two ? (form.width - form.columnSpacing) / 2 : form.width
            height: lines.height + 5 * Metrics.mm
            Column {
                id: lines
                x: (paper.tag ? 9 : 3.4) * Metrics.mm
                y: 2.4 * Metrics.mm
                width: parent.width - x - 3 * Metrics.mm
                spacing: 1.6 * Metrics.mm
                Words { text: [paper.modelData.title, form.job.prompt.label].filter(part => part !== "").join(", "); bold: true; font.pixelSize: Type.row }
                Repeater {
                    model: paper.modelData.fields
                    Field {
                        required property var modelData
                        width: lines.width
                        title: modelData[1]
                        objectName: "field:" + modelData[0]
                        code: true
                        text: form.job.draft[modelData[0]] ?? ""
                        onEdited: text => form.job.fill(modelData[0], text)
                    }
                }
            }
        }
    }
}
