// What the large key asks, nearest the hands: hazards first, then the step in words, then its answers as keys.
pragma ComponentBehavior: Bound
import QtQuick
import Chockside.Theme
import Chockside.Parts
import Chockside.Models

Column {
    id: foot
    required property JobModel job
    property bool phone: false
    property bool portrait: false
    property bool pad: false      // the page is a number pad, and has the hazards above it
    readonly property bool choosing: job.prompt.kind === "choose"
    readonly property bool typing: job.prompt.kind === "number" || job.prompt.kind === "swing_point"
    readonly property int n: job.lists.choices.count
    readonly property bool inline: choosing && n <= 3 && !phone && !Metrics.big
    readonly property bool says: job.prompt.say !== "" && job.prompt.say !== job.sentence && job.prompt.kind !== "wait" && !typing && (choosing || job.prompt.detail !== "" || !same(job.prompt.say, job.key_large))
    readonly property bool hazards: job.lists.hazards.count > 0 && !pad
    readonly property bool content: hazards || says || (n > 0) || job.refused
    readonly property real hazardsEnd: blocks.y + blocks.height
    readonly property var icons: ({showing: "open", not_showing: "closed", absent: "closed", unknown: "none"})

    // Two ways to say one thing are one too many: what the key says need not stand above it.
    function same(say: string, key: string): bool {
        const plain = words => words.toLowerCase().replace(/[.,]/g, "").replace(/\bthe /g, "")
        return plain(say).startsWith(plain(key)) || plain(key).startsWith(plain(say))
    }

    visible: content
    spacing: 1.8 * Metrics.mm
    Rule { heavy: true; width: parent.width; visible: !foot.inline }
    Banner { visible: foot.job.refused; width: parent.width; kind: "attention"; head: qsTr("Not written."); says: foot.job.refusal }
    Column {
        id: blocks
        visible: foot.hazards
        width: parent.width
        spacing: foot.spacing
        Repeater {
            model: foot.hazards ? foot.job.lists.hazards : null
            HazardBlock { required word; required says; width: foot.width; ruled: false; oneLine: note || foot.phone }
        }
    }
    Item {
        width: parent.width
        height: Math.max(lines.visible ? lines.height : 0, foot.inline ? keys.height : (keys.visible ? keys.height + (lines.visible ? lines.height + 1.6 * Metrics.mm : 0) : 0))
        Column {
            id: lines
            visible: foot.says
            width: foot.inline ? 26 * Metrics.mm : parent.width
            y: foot.inline ? (parent.height - height) / 2 : 0
            Words { width: parent.width; text: foot.job.prompt.say; bold: true; font.pixelSize: foot.inline ? Type.label : Type.row }
            Words { width: parent.width; visible: text !== "" && !Palette.sun; text: foot.job.prompt.detail; second: true }
            Words { width: parent.width; visible: text !== "" && !foot.phone && !foot.inline && !Metrics.big; text: foot.job.prompt.ref; second: true }
        }
        KeyGrid {
            id: keys
            visible: foot.n > 0
            readonly property int per: foot.inline ? foot.n : Math.min(foot.n, foot.phone && foot.n === 3 && !Metrics.big ? 3 : foot.phone || Metrics.big ? 2 : foot.n <= 5 ? foot.n : foot.n > 6 ? 4 : 3)
            x: foot.inline && lines.visible ? 27.6 * Metrics.mm : 0
            y: foot.inline || !lines.visible ? 0 : lines.height + 1.6 * Metrics.mm
            width: parent.width - x
            columns: Math.max(1, per)
            spacing: 2.4 * Metrics.mm
            Repeater {
                model: foot.job.lists.choices
                SecondaryKey {
                    required property string id
                    required property string words
                    objectName: "choice:" + id
                    width: (keys.width - keys.spacing * (keys.per - 1)) / Math.max(1, keys.per)
                    height: keys.tallest
                    icon: foot.job.prompt.id === "presence" || foot.job.prompt.verb === "presence" ? foot.icons[id] ?? "" : ""
                    word: words
                    chosen: foot.job.chosen === id
                    onActed: foot.choosing ? foot.job.choose(id) : foot.job.answer(id)
                }
            }
        }
    }
}
