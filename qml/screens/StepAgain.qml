// One of the last three steps, looked at again: still so, or not.
import QtQuick
import Chockside.Theme
import Chockside.Parts

Column {
    id: page
    required property Returning returning
    property bool phone: false
    readonly property var entry: returning.kept[returning.step] ?? {at: "", text: ""}

    spacing: 3 * Metrics.mm
    Figures { text: page.entry.at; second: true; font.pixelSize: Type.row }
    Sentence { width: parent.width; text: page.entry.text; phone: page.phone }
    Rule { width: parent.width }
    Words { width: parent.width; text: qsTr("Look at the aircraft, not at this screen. Is it still so?"); font.pixelSize: Type.row }
}
