// A note for the journal, in the technician's words.
import QtQuick
import Chockside.Theme
import Chockside.Parts

Column {
    id: page
    property string text
    property string refusal
    property bool phone: false
    property real room: 0
    signal edited(string text)

    spacing: 2 * Metrics.mm
    Banner { visible: page.refusal !== ""; width: parent.width; kind: "attention"; head: qsTr("Not written. Your words stand."); says: page.refusal }
    Field { width: parent.width; objectName: "field:note"; most: 400; title: qsTr("One fact, in your words"); text: page.text; onEdited: text => page.edited(text) }
    Words { width: parent.width; second: true; text: qsTr("It goes into the journal with the time and your initials. It can be amended, not erased.") }
}
