// On return: the three last steps, what happened meanwhile, what stands open and must be looked at again.
pragma ComponentBehavior: Bound
import QtQuick
import Chockside.Theme
import Chockside.Parts
import Chockside.Models

Column {
    id: page
    required property JobModel job
    required property var meanwhile
    property bool phone: false
    property real room: 0
    readonly property int first: Math.max(0, job.lists.journal.count - 3)

    spacing: 2 * Metrics.mm
    Column {
        width: parent.width
        Repeater {
            model: Math.min(3, page.job.lists.journal.count)
            Item {
                id: step
                required property int index
                width: page.width
                height: Math.max(7.6 * Metrics.mm, saying.implicitHeight + 2 * Metrics.mm)
                RailLine { width: 8.8 * Metrics.mm; height: parent.height; state: "solid" }
                Rectangle { x: 8.8 * Metrics.mm * 0.43 - width / 2; anchors.verticalCenter: parent.verticalCenter; width: 4 * Metrics.mm; height: width; color: Palette.line }
                Figures { id: at; x: 12.4 * Metrics.mm; text: page.job.lists.journal.all[page.first + step.index]?.at ?? ""; second: true; anchors.verticalCenter: parent.verticalCenter; font.pixelSize: Type.label }
                Words { id: saying; anchors { left: at.right; leftMargin: 3.2 * Metrics.mm; right: parent.right; verticalCenter: parent.verticalCenter } text: page.job.lists.journal.all[page.first + step.index]?.text ?? ""; bold: true; font.pixelSize: Type.row }
                Rule { anchors.bottom: parent.bottom; x: 12.4 * Metrics.mm; width: parent.width - x }
            }
        }
        Item {
            width: parent.width
            height: Math.max(8 * Metrics.mm, stopped.implicitHeight + 1.6 * Metrics.mm)
            RailLine { width: 8.8 * Metrics.mm; height: parent.height; state: "hollow"; here: true }
            Words { id: stopped; x: 12.4 * Metrics.mm; width: parent.width - x; text: qsTr("You stopped here. Next: %1").arg(page.job.key_large); font.pixelSize: Type.row; anchors.verticalCenter: parent.verticalCenter }
        }
    }
    Words { text: qsTr("Meanwhile"); bold: true; font.pixelSize: Type.row; visible: page.meanwhile.length > 0 }
    Repeater {
        model: page.meanwhile
        MarkWord { required property var modelData; mark: modelData.mark; word: modelData.text }
    }
    Words { text: qsTr("Go and look: this is how each was left"); bold: true; font.pixelSize: Type.row; visible: page.job.open_count > 0 }
    OpenList { job: page.job; width: parent.width; phone: page.phone }
}
