// Prove: what is owed with rule and person; the swing while it runs and its result.
// Not Bound: the Loader of Qt 6.4 refuses bound components.
import QtQuick
import Chockside.Theme
import Chockside.Parts
import Chockside.Models

Column {
    id: page
    required property JobModel job
    required property LiveModel live
    property bool phone: false
    property bool portrait: false
    property real room: 0
    readonly property bool run: job.prompt.kind === "swing_point"
    readonly property bool result: job.swing_done && !run
    readonly property bool accepting: result && job.prompt.id.indexOf("swing") >= 0   // the card is read before it is taken
    readonly property bool two: !phone && !portrait && !Metrics.big

    spacing: 2.4 * Metrics.mm
    Loader {
        active: page.run
        visible: active
        width: parent.width
        sourceComponent: running
    }
    Column {
        visible: !page.run && !page.accepting
        width: parent.width
        Repeater {
            model: page.job.lists.owed
            OwedRow {
                required title
                required rule
                required who
                required word
                required mark
                required minutes
                required property string id
                width: page.width
                phone: page.phone
            }
        }
        MarkWord { visible: page.job.lists.owed.count === 0; mark: "info"; word: qsTr("Nothing is owed by what was done.") }
    }
    Words {
        visible: !page.run && !page.result && !Palette.sun
        width: parent.width
        second: true
        text: qsTr("Owed work can’t be struck, only proved or deferred.")
    }
    Loader {
        active: page.result
        visible: active
        width: parent.width
        sourceComponent: finished
    }
    Component {
        id: running
        SwingRun { job: page.job; width: page.width; phone: page.phone; room: page.room }
    }
    Component {
        id: finished
        SwingResult { job: page.job; width: page.width; phone: page.phone; two: page.two; room: page.room }
    }
}
