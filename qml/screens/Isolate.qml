// Isolate: places as they lie on the aircraft, evidence both ways, the next check with its whole price, gates for the unit.
pragma ComponentBehavior: Bound
import QtQuick
import Chockside.Theme
import Chockside.Parts
import Chockside.Models

Column {
    id: page
    required property JobModel job
    required property LiveModel live
    required property FlexModel flexTest
    property bool phone: false
    property bool portrait: false
    property real room: 0
    readonly property bool flex: job.prompt.verb === "flex"
    readonly property bool two: !phone && !portrait && !Metrics.big
    readonly property var first: job.lists.checks.all[0]
    readonly property bool known: job.lists.evidence.count > 0

    function price() {
        const parts = []
        if (first?.own > 0) parts.push(qsTr("own work"))
        if (first?.access > 0) parts.push(qsTr("access"))
        if (first?.power > 0) parts.push(qsTr("power down"))
        const text = parts.join(", ")
        const named = text.charAt(0).toUpperCase() + text.slice(1)
        return first?.warm > 0 ? qsTr("%1; hollow is warm again.").arg(named) : named + "."
    }

    spacing: 2.4 * Metrics.mm
    LivePlot {
        visible: page.flex || (page.job.prompt.verb === "turn" && page.live.arriving)
        width: parent.width
        height: Math.max(32 * Metrics.mm, Math.min(page.room - (page.flex ? 11 : 1) * Metrics.mm, 76 * Metrics.mm))
        feed: visible ? page.live : null
        text_px: Type.floor
        Accessible.role: Accessible.Graphic
        Accessible.name: qsTr("Traces of the last two minutes")
    }
    Banner { visible: page.flex && says !== ""; width: parent.width; kind: "advice"; says: page.flexTest.chance }
    HarnessLine {
        visible: !page.flex
        width: parent.width
        places: page.job.lists.places
        standing: page.phone || Metrics.big
    }
    Words {
        visible: !page.flex && !page.known
        width: parent.width
        font.pixelSize: Type.row
        lineHeight: 1.15
        text: page.job.lists.checks.count > 0 ? qsTr("Every place on this line is still possible, the unit too. These give the most for their minutes:") : qsTr("Every place on this line is still possible, the unit too.")
    }
    Column {
        visible: !page.flex && !page.known
        width: parent.width
        Repeater {
            model: page.known ? null : page.job.lists.checks
            Item {
                id: check
                required property string title
                required property string why
                required property real minutes
                width: page.width
                readonly property bool under: page.phone || Metrics.big
                height: Math.max(10 * Metrics.mm, Type.row * 2, under ? title.implicitHeight + reason.implicitHeight + 1.6 * Metrics.mm : 0)
                Accessible.role: Accessible.ListItem
                Accessible.name: check.title + ", " + sign.word + ", " + why + ", " + Math.round(minutes) + " min"
                Mark { id: sign; name: "none"; width: 5.1 * Metrics.mm; height: width; anchors.verticalCenter: parent.verticalCenter }
                Words { id: title; x: 8.1 * Metrics.mm; y: (parent.height - height - (check.under ? reason.height : 0)) / 2; text: check.title; bold: true; font.pixelSize: Type.row; width: check.under ? cost.x - x - 2 * Metrics.mm : Math.min(implicitWidth, parent.width * 0.5) }
                Words { id: reason; x: check.under ? title.x : title.x + title.width + 3 * Metrics.mm; y: check.under ? title.y + title.height : (parent.height - height) / 2; width: cost.x - x - (check.under ? 2 : 4) * Metrics.mm; text: check.why; second: true; horizontalAlignment: check.under ? Text.AlignLeft : Text.AlignRight }
                Figures { id: cost; anchors { right: parent.right; verticalCenter: parent.verticalCenter } text: Math.round(check.minutes) + " min"; font.pixelSize: Type.row }
                Rule { anchors.bottom: parent.bottom; width: parent.width }
            }
        }
    }
    Banner {
        visible: page.job.fits_nothing
        width: parent.width
        kind: "advice"
        head: qsTr("It fits nothing well. Do not change a part.")
        says: qsTr("Look outside the list: other systems, place, recent work.")
    }
    Repeater {
        model: page.flex || !page.known ? null : page.job.lists.unexplained
        Banner {
            required property string odd
            required property string would
            width: page.width
            kind: "advice"
            head: qsTr("Not explained. %1").arg(odd)
            says: qsTr("%1 would explain it. Look once more.").arg(would)
        }
    }
    EvidenceBars {
        visible: !page.flex && page.known && !(page.phone && Metrics.big)
        width: parent.width
        evidence: page.job.lists.evidence
        about: page.job.leading
        limit: page.two ? Math.max(3, Math.floor((page.room - 66 * Metrics.mm) / (5.7 * Metrics.mm))) : 99
        phone: page.phone || Metrics.big
    }
    Grid {
        visible: !page.flex && page.known
        width: parent.width
        columns: page.two ? 2 : 1
        columnSpacing: 4.2 * Metrics.mm
        rowSpacing: 3 * Metrics.mm
        Column {
            width: page.two ? (page.width - parent.columnSpacing) * 0.6 : page.width
            spacing: 0.8 * Metrics.mm
            visible: page.job.lists.checks.count > 0
            Item {
                width: parent.width
                height: next.height
                Words { id: next; text: qsTr("Next: %1").arg(page.first?.title ?? ""); bold: true; font.pixelSize: Type.label; width: parent.width - cost.width - 2 * Metrics.mm }
                Figures { id: cost; anchors { right: parent.right; baseline: next.baseline } text: Math.round(page.first?.minutes ?? 0) + " min"; font.pixelSize: Type.label }
            }
            Rule { heavy: true; width: parent.width }
            PriceLine {
                width: parent.width
                own: page.first?.own ?? 0
                access: page.first?.access ?? 0
                power: page.first?.power ?? 0
                warm: page.first?.warm ?? 0
            }
            Words { width: parent.width; text: page.price() }
            Words { width: parent.width; visible: text !== "" && !Palette.sun; second: true; text: page.first?.why ?? "" }
        }
        Column {
            width: page.two && page.first ? (page.width - parent.columnSpacing) * 0.4 : page.width
            Words { text: page.job.removal_offered ? qsTr("The unit: offered") : qsTr("The unit: not offered"); width: parent.width; bold: true; font.pixelSize: Type.label; bottomPadding: 0.8 * Metrics.mm }
            Rule { heavy: true; width: parent.width }
            Repeater {
                model: page.job.lists.gates
                Item {
                    id: gate
                    required property string says
                    required property string word
                    required property string mark
                    required property int index
                    width: parent.width
                    height: Math.max(5.7 * Metrics.mm, said.implicitHeight + 1 * Metrics.mm)
                    Accessible.role: Accessible.ListItem
                    Accessible.name: said.text + ", " + sign.word
                    Mark { id: sign; name: gate.mark; width: 4.2 * Metrics.mm; height: width; anchors.verticalCenter: parent.verticalCenter }
                    Words { id: said; anchors { left: sign.right; leftMargin: 2.4 * Metrics.mm; right: parent.right; verticalCenter: parent.verticalCenter } text: gate.says + (gate.word === "" ? "" : ": " + gate.word) }
                    Rule { anchors.bottom: parent.bottom; width: parent.width; visible: gate.index < page.job.lists.gates.count - 1 }
                }
            }
        }
    }
}
