// What the technician says on return: how each open thing stands, then the last three steps one by one. It becomes one note in the
// journal, and what stands otherwise is open to every unsafe reading from then on; nothing is taken as seen that was not answered.
import QtQuick
import Chockside.Models

QtObject {
    id: back
    required property JobModel job
    property int minutes: 0
    property var said: ({})
    property int step: -1         // of the last three, while they are looked at again
    // Small things are answered together; where one of them is not so, each by itself.
    readonly property var things: job.lists.left.all.reduce((all, thing) => all.concat([thing], parts_of(thing)), [])
    readonly property string missing: (things.find(thing => said[thing.id] === undefined) ?? {title: ""}).title
    readonly property bool looked: things.every(thing => said[thing.id] !== undefined)
    property var steps: []         // the last three, as they were left
    property var kept: []          // the three steps as they stood when looking again began

    function parts_of(thing: var): var {
        return said[thing.id] === "not" ? Array.from(thing.parts) : []
    }
    function say(id: string, word: string) {
        const now = Object.assign({}, said)
        now[id] = word
        said = now
    }
    function begin() {
        said = ({})
        step = -1
        kept = []
    }
    function look_again() {
        kept = steps
        step = 0
    }
    // True while a further step waits.
    function next(): bool {
        step = step + 1 < kept.length ? step + 1 : -1
        return step >= 0
    }
    function tell() {
        for (const thing of things)
            if (said[thing.id] === "not" && thing.parts.length === 0) job.not_as_left(thing.id, thing.title)
    }
    function note(again: bool): string {
        const named = word => things.filter(thing => said[thing.id] === word && !(word === "not" && thing.parts.length > 0)).map(thing => thing.title)
        const parts = [minutes > 0 ? qsTr("Back after %1 min.").arg(minutes) : qsTr("Back.")]
        if (named("left").length > 0) parts.push(qsTr("As left: %1.").arg(named("left").join(", ")))
        if (named("not").length > 0) parts.push(qsTr("Not as left: %1.").arg(named("not").join(", ")))
        if (again) parts.push(qsTr("Last three steps looked at again, all still so."))
        return parts.join(" ")
    }
}
