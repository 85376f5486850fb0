// The whole journal, newest last.
import QtQuick
import Chockside.Theme
import Chockside.Parts
import Chockside.Models

Column {
    id: page
    required property JobModel job
    property bool phone: false

    Repeater {
        model: page.job.lists.journal
        EntryRow {
            required property int index
            width: page.width
            first: index === 0
            lines: 20
        }
    }
}
