// As found: what must be saved hangs on a line, beside it the stored faults; below the cheapest evidence, side by side.
pragma ComponentBehavior: Bound
import QtQuick
import Chockside.Theme
import Chockside.Parts
import Chockside.Models

Column {
    id: page
    required property JobModel job
    property bool phone: false
    property real room: 0
    readonly property bool two: !phone && !Metrics.big
    // Where the names of the rows leave the figures no room, they stand above them.
    readonly property bool tight: phone || Metrics.big
    readonly property real first: tight ? 0 : width * 0.28
    readonly property real cell: (width - first) / 3
    readonly property int figures: job.lists.sources.all.filter(one => one.figures).length

    spacing: 2 * Metrics.mm
    Grid {
        width: parent.width
        columns: page.two ? 2 : 1
        columnSpacing: 4.4 * Metrics.mm
        rowSpacing: 3 * Metrics.mm
        Column {
            width: page.two ? (parent.width - parent.columnSpacing) * 0.52 : parent.width
            Repeater {
                model: page.job.lists.saved
                Item {
                    id: saved
                    required property string title
                    required property string word
                    required property string mark
                    required property bool done
                    required property bool here
                    width: parent.width
                    readonly property bool under: word.implicitWidth > (width - title.x) * 0.5 && word.implicitWidth + title.implicitWidth + 2 * Metrics.mm > width - title.x
                    height: Math.max((page.phone ? 5.6 : 6.4) * Metrics.mm, Type.floor * 1.6, title.implicitHeight + (under ? word.implicitHeight : 0) + 1 * Metrics.mm)
                    Accessible.role: Accessible.ListItem
                    Accessible.name: [saved.title, saved.word, saved.done ? qsTr("saved") : saved.here ? qsTr("now") : qsTr("not yet")].filter(part => part !== "").join(", ")
                    RailLine { width: 8.8 * Metrics.mm; height: parent.height; state: saved.done ? "solid" : "hollow"; filled: saved.here ? 0.5 : 0; here: saved.here; ground: Palette.panel }
                    Words { id: title; x: 9.8 * Metrics.mm; text: saved.title; bold: saved.here; y: (parent.height - height - (saved.under ? word.height : 0)) / 2; width: parent.width - x - (word.text === "" || saved.under ? 0 : word.width + 2 * Metrics.mm) }
                    Words { id: word; x: saved.under ? title.x : parent.width - width; y: saved.under ? title.y + title.height : (parent.height - height) / 2; width: Math.min(implicitWidth, parent.width - title.x); text: saved.word; second: true }
                    Rule { anchors.bottom: parent.bottom; x: 9.8 * Metrics.mm; width: parent.width - x }
                }
            }
        }
        Column {
            width: page.two ? (parent.width - parent.columnSpacing) * 0.48 : parent.width
            spacing: 0.4 * Metrics.mm
            Words { text: qsTr("Stored faults"); bold: true; font.pixelSize: Type.label; bottomPadding: 1 * Metrics.mm }
            MarkWord { visible: page.job.lists.faults.count === 0; mark: "none"; word: qsTr("not read yet") }
            Repeater {
                model: page.job.lists.faults
                Item {
                    id: fault
                    required property string code
                    required property string says
                    required property string count
                    required property string age
                    required property bool active
                    required property int index
                    width: parent.width
                    height: lines.height + 1.4 * Metrics.mm
                    Accessible.role: Accessible.ListItem
                    Accessible.name: [fault.code, says, count, active ? qsTr("now") : "", age].filter(told => told !== "").join(", ")
                    Text { id: code; text: fault.code; color: Palette.ink; font.family: Type.code; font.pixelSize: Type.floor; font.bold: true; anchors.verticalCenter: lines.verticalCenter }
                    Column {
                        id: lines
                        anchors { left: code.right; leftMargin: 2.6 * Metrics.mm; right: times.left; rightMargin: 1.6 * Metrics.mm }
                        Words { width: parent.width; text: fault.says }
                        Words { width: parent.width; visible: text !== ""; text: fault.active ? qsTr("now") + (fault.age === "" ? "" : ", " + fault.age) : fault.age; second: true }
                    }
                    Figures { id: times; anchors { right: parent.right; verticalCenter: lines.verticalCenter } text: fault.count }
                    Rule { anchors.bottom: parent.bottom; width: parent.width; visible: fault.index < page.job.lists.faults.count - 1 }
                }
            }
        }
    }
    Column {
        width: parent.width
        visible: page.job.lists.sources.count > page.figures
        spacing: 0.6 * Metrics.mm
        Words { text: qsTr("Looked at before anything is disturbed"); bold: true; font.pixelSize: Type.label; width: parent.width }
        Grid {
            id: looks
            width: parent.width
            columns: page.two ? 2 : 1
            columnSpacing: 4.4 * Metrics.mm
            Repeater {
                model: page.job.lists.sources
                Item {
                    id: look
                    required property bool figures
                    required property string what
                    required property string mark
                    required property string word
                    visible: !figures
                    width: (looks.width - looks.columnSpacing * (looks.columns - 1)) / looks.columns
                    readonly property real rest: width - 6.2 * Metrics.mm
                    readonly property bool under: what.implicitWidth + said.implicitWidth + 2 * Metrics.mm > rest
                    height: Math.max(6.4 * Metrics.mm, Type.floor * 1.6, what.height + (under ? said.height : 0) + 0.8 * Metrics.mm)
                    Accessible.role: Accessible.ListItem
                    Accessible.name: look.what + ", " + (look.word === "" ? sign.word : look.word)
                    Mark { id: sign; name: look.mark; width: 4.2 * Metrics.mm; height: width; anchors.verticalCenter: parent.verticalCenter }
                    Words { id: what; x: 6.2 * Metrics.mm; y: (parent.height - height - (look.under ? said.height : 0)) / 2; text: look.what; width: look.under ? look.rest : implicitWidth }
                    Words { id: said; x: look.under ? what.x : parent.width - width; y: look.under ? what.y + what.height : (parent.height - height) / 2; visible: text !== ""; height: visible ? implicitHeight : 0; text: look.mark === "none" ? "" : look.word; bold: true; width: look.under ? look.rest : implicitWidth }
                    Rule { anchors.bottom: parent.bottom; width: parent.width }
                }
            }
        }
    }
    Column {
        width: parent.width
        visible: page.figures > 0
        Item {
            width: parent.width
            height: Math.max(head.height, Type.floor * 1.3) + 0.6 * Metrics.mm
            Words { id: head; text: qsTr("Side by side"); bold: true; font.pixelSize: Type.label; wrapMode: Text.NoWrap; visible: !page.tight }
            Repeater {
                model: [qsTr("No. 1"), qsTr("No. 2"), qsTr("Standby")]
                Words {
                    required property string modelData
                    required property int index
                    x: page.first + page.cell * index
                    width: page.cell - 2 * Metrics.mm
                    horizontalAlignment: page.tight ? Text.AlignLeft : Text.AlignRight
                    anchors.bottom: parent.bottom
                    text: modelData
                    second: true
                    wrapMode: Text.NoWrap
                    fontSizeMode: Text.HorizontalFit
                    minimumPixelSize: Math.round(3.3 * Metrics.mm)
                }
            }
        }
        Repeater {
            model: page.job.lists.sources
            Item {
                id: source
                required property bool figures
                required property string what
                required property string no1
                required property string no2
                required property string standby
                required property string mark
                required property string word
                readonly property var values: [no1, no2, standby]
                visible: figures
                width: page.width
                height: Math.max(6.8 * Metrics.mm, Type.row * 1.7) + (page.tight ? row.height : 0)
                Accessible.role: Accessible.ListItem
                Accessible.name: what + ": " + no1 + ", " + no2 + ", " + standby + ", " + word
                Rule { width: parent.width }
                Words { id: row; text: source.what; bold: true; y: page.tight ? 0.6 * Metrics.mm : (parent.height - height) / 2; width: page.tight ? parent.width : page.first }
                Repeater {
                    model: 3
                    Row {
                        id: cell
                        required property int index
                        readonly property string figure: source.values[index]
                        readonly property bool number: /[0-9]/.test(figure)
                        x: page.first + page.cell * index + (page.tight ? 0 : page.cell - 2 * Metrics.mm - width)
                        y: page.tight ? row.height + (parent.height - row.height - height) / 2 : (parent.height - height) / 2
                        spacing: 1 * Metrics.mm
                        Mark { id: bad; visible: !cell.number && source.mark === "fail" && cell.figure !== "" && cell.figure !== "none"; name: source.mark; width: 4.2 * Metrics.mm; height: width; anchors.verticalCenter: parent.verticalCenter }
                        Figures {
                            text: cell.figure
                            font.family: cell.number ? Type.figures : Type.words
                            font.weight: cell.number ? Type.number_weight : Type.bold_weight
                            font.pixelSize: cell.number ? Math.round((page.phone ? 4.4 : 4.9) * Metrics.mm * Metrics.text_scale) : Type.floor
                            width: Math.min(implicitWidth, page.cell - 2 * Metrics.mm - (bad.visible ? bad.width + 1 * Metrics.mm : 0))
                            fontSizeMode: Text.HorizontalFit
                            minimumPixelSize: Math.round(3.3 * Metrics.mm)
                            anchors.verticalCenter: parent.verticalCenter
                        }
                    }
                }
            }
        }
    }
}
