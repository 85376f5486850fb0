// One entry of the journal: what it says, what stands beside it, and what a person writes to amend or void it.
import QtQuick
import Chockside.Theme
import Chockside.Parts
import Chockside.Models

Column {
    id: page
    required property JobModel job
    property bool phone: false
    property real room: 0
    readonly property EntryFix fix: job.fix

    spacing: 2.4 * Metrics.mm
    Words { width: parent.width; text: page.fix.text; bold: true; font.pixelSize: Type.row; font.strikeout: page.fix.by !== "" }
    Words { width: parent.width; visible: text !== ""; text: page.fix.by; font.pixelSize: Type.row }
    Banner { visible: page.job.refused; width: parent.width; kind: "attention"; head: qsTr("Not written."); says: page.job.refusal }
    Banner { visible: page.fix.stands !== ""; width: parent.width; kind: "advice"; says: page.fix.stands }
    Column {
        visible: page.fix.stands === ""
        width: parent.width
        spacing: 2.4 * Metrics.mm
        Field {
            visible: page.fix.field !== "" && !page.fix.signature
            width: parent.width
            objectName: "field:should"
            most: 400
            title: page.fix.field === "number" ? qsTr("The right reading") : qsTr("The right words")
            text: page.fix.should
            onEdited: text => page.fix.fill("should", text)
        }
        Field { width: parent.width; objectName: "field:reason"; most: 200; title: qsTr("Reason"); text: page.fix.reason; onEdited: text => page.fix.fill("reason", text) }
        Field { visible: page.fix.signature; width: Math.min(parent.width, 60 * Metrics.mm); objectName: "field:pin"; title: qsTr("PIN of who signed"); secret: true; text: page.fix.pin; onEdited: text => page.fix.fill("pin", text) }
        Words { width: parent.width; second: true; text: page.fix.field === "" && !page.fix.signature ? qsTr("It stays in the journal, struck, with the reason beside it. What is so, is recorded anew.") : page.fix.signature ? qsTr("It stays in the journal, struck, with the reason beside it.") : qsTr("Left empty, the entry is voided. It stays in the journal, struck, with what you write beside it.") }
    }
}
