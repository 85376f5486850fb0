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
                    height: Math.max((page.phone ? 5.6 : 6.4) * Metrics.mm, Type.floor * 1.6, title.implicitHeight + 1 * Metrics.mm)
                    Accessible.role: Accessible.ListItem
                    Accessible.name: saved.title + ", " + saved.word
                    RailLine { width: 8.8 * Metrics.mm; height: parent.height; state: saved.done ? "solid" : "hollow"; filled: saved.here ? 0.5 : 0; here: saved.here; ground: Palette.panel }
                    Words { id: title; x: 9.8 * Metrics.mm; text: saved.title; bold: saved.here; anchors.verticalCenter: parent.verticalCenter; width: parent.width - x - (word.text === "" ? 0 : word.implicitWidth + 2 * Metrics.mm); maximumLineCount: 2; elide: Text.ElideRight }
                    Words { id: word; anchors { right: parent.right; verticalCenter: parent.verticalCenter } text: saved.word; second: true; wrapMode: Text.NoWrap }
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
                    Accessible.name: [code, says, count, age].filter((told) => told !== "").join(", ")
                    Text { id: code; text: fault.code; color: Palette.ink; font.family: Type.code; font.pixelSize: Type.floor; font.bold: true; anchors.verticalCenter: lines.verticalCenter }
                    Column {
                        id: lines
                        anchors { left: code.right; leftMargin: 2.6 * Metrics.mm; right: times.left; rightMargin: 1.6 * Metrics.mm }
                        Words { width: parent.width; text: fault.says; elide: Text.ElideRight; maximumLineCount: 2 }
                        Words { width: parent.width; visible: text !== ""; text: fault.active ? qsTr("now") + (fault.age === "" ? "" : ", " + fault.age) : fault.age; second: true; elide: Text.ElideRight; maximumLineCount: 1 }
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
        Words { text: qsTr("Looked at before anything is disturbed"); bold: true; font.pixelSize: Type.label; width: parent.width; elide: Text.ElideRight; wrapMode: Text.NoWrap }
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
                    height: Math.max(6.4 * Metrics.mm, Type.floor * 1.6)
                    Accessible.role: Accessible.ListItem
                    Accessible.name: what + ", " + word
                    Mark { id: sign; name: look.mark; width: 4.2 * Metrics.mm; height: width; anchors.verticalCenter: parent.verticalCenter }
                    Words { id: what; anchors { left: sign.right; leftMargin: 2 * Metrics.mm; verticalCenter: parent.verticalCenter } text: look.what; wrapMode: Text.NoWrap; width: Math.min(implicitWidth, parent.width - x - said.width - 2 * Metrics.mm); elide: Text.ElideRight }
                    Words { id: said; anchors { right: parent.right; verticalCenter: parent.verticalCenter } text: look.mark === "none" ? "" : look.word; bold: true; wrapMode: Text.NoWrap; width: Math.min(implicitWidth, look.width * 0.5); elide: Text.ElideRight }
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
            height: head.height + 0.6 * Metrics.mm
            Words { id: head; text: qsTr("Side by side"); bold: true; font.pixelSize: Type.label; wrapMode: Text.NoWrap; visible: !page.phone }
            Repeater {
                model: [qsTr("No. 1"), qsTr("No. 2"), qsTr("Standby")]
                Words {
                    required property string modelData
                    required property int index
                    x: page.width * (0.38 + 0.2 * index) - width + page.width * 0.06
                    anchors.bottom: parent.bottom
                    text: modelData
                    second: true
                    wrapMode: Text.NoWrap
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
                height: Math.max(6.8 * Metrics.mm, Type.row * 1.7)
                Accessible.role: Accessible.ListItem
                Accessible.name: what + ": " + no1 + ", " + no2 + ", " + standby + ", " + word
                Rule { width: parent.width }
                Words { text: source.what; bold: true; anchors.verticalCenter: parent.verticalCenter; wrapMode: Text.NoWrap; width: parent.width * 0.24; elide: Text.ElideRight }
                Repeater {
                    model: 3
                    Row {
                        id: cell
                        required property int index
                        readonly property string figure: source.values[index]
                        readonly property bool number: /[0-9]/.test(figure)
                        x: page.width * (0.44 + 0.2 * index) - width
                        anchors.verticalCenter: parent.verticalCenter
                        spacing: 1 * Metrics.mm
                        Mark { visible: !cell.number && source.mark === "fail" && cell.figure !== "" && cell.figure !== "none"; name: source.mark; width: 4.2 * Metrics.mm; height: width; anchors.verticalCenter: parent.verticalCenter }
                        Figures {
                            text: cell.figure
                            font.family: cell.number ? Type.figures : Type.words
                            font.weight: cell.number ? Type.number_weight : Type.bold_weight
                            font.pixelSize: cell.number ? Math.round((page.phone ? 4.4 : 4.9) * Metrics.mm * Metrics.text_scale) : Type.floor
                            anchors.verticalCenter: parent.verticalCenter
                        }
                    }
                }
            }
        }
    }
}
