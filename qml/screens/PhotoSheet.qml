// The newest pictures on this device; a row takes one into the journal.
pragma ComponentBehavior: Bound
import QtQuick
import Chockside.Theme
import Chockside.Parts
import Chockside.Models

Column {
    id: page
    required property JobModel job
    property bool phone: false
    signal taken(string path)

    spacing: 2 * Metrics.mm
    Banner { visible: page.job.refused; width: parent.width; kind: "attention"; head: qsTr("Not written."); says: page.job.refusal }
    Repeater {
        model: page.job.lists.pictures
        Key {
            id: picture
            required property string path
            required property string name
            required property string at
            required property int index
            objectName: "picture:" + index
            width: page.width
            height: 15 * Metrics.mm
            label: name + ", " + at
            asks: path
            onActed: page.taken(path)
            Image {
                id: seen
                source: "file:" + encodeURI(picture.path).replace(/[#?]/g, encodeURIComponent)
                sourceSize.height: Math.round(11 * Metrics.mm)
                asynchronous: true
                fillMode: Image.PreserveAspectFit
                width: 16 * Metrics.mm
                height: 11 * Metrics.mm
                anchors { left: parent.left; leftMargin: 2 * Metrics.mm; verticalCenter: parent.verticalCenter }
            }
            Column {
                anchors { left: seen.right; leftMargin: 3 * Metrics.mm; right: parent.right; rightMargin: 3 * Metrics.mm; verticalCenter: parent.verticalCenter }
                Words { width: parent.width; text: picture.name; bold: true; maximumLineCount: 1; elide: Text.ElideMiddle }
                Words { width: parent.width; text: picture.at; second: true }
            }
        }
    }
    Words { width: parent.width; second: true; text: qsTr("It is kept as it is, sealed, beside the journal. The entry holds its digest.") }
}
