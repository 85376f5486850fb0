// A job is a row with its line; the large key goes on where you stopped.
pragma ComponentBehavior: Bound
import QtQuick
import Chockside.Theme
import Chockside.Parts
import Chockside.Models

Column {
    id: page
    required property HomeModel home
    property bool phone: false
    property real room: 0

    spacing: 2.8 * Metrics.mm
    Repeater {
        model: page.home.jobs
        JobRow {
            required tail
            required note
            required complaint
            required mark
            required where
            required pieces
            required mine
            required property string job
            required property string state
            objectName: "job:" + job
            width: page.width
            phone: page.phone
            state_words: row_state
            readonly property string row_state: state
            onActed: page.home.open(job)
        }
    }
    Column {
        visible: page.home.jobs.count === 0
        width: parent.width
        spacing: 2 * Metrics.mm
        Words { width: parent.width; font.pixelSize: Type.row; lineHeight: 1.2; text: qsTr("A practice job has an invented aircraft with one fault in it. You work it as a real one: ask the crew, save what is found, isolate, put right, prove, close.") }
        MarkWord { mark: "info"; word: qsTr("Nothing you do there reaches a real aircraft.") }
    }
}
