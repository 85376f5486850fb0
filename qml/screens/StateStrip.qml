// The strip, always in this order: aircraft and PRACTICE, write-up, link, waits, open items, clock, theme.
// Not Bound: the Loader of Qt 6.4 refuses bound components.
import QtQuick
import Chockside.Theme
import Chockside.Parts
import Chockside.Models

Rectangle {
    id: strip
    property JobModel job
    property HomeModel home
    property SettingsModel settings
    property string form: "landscape"
    readonly property bool phone: form === "phone"
    readonly property bool wide: form === "landscape" && !Metrics.big
    // The strip of a phone has no room to grow: its figures are large already, its words stay as they are.
    readonly property bool roomy: Metrics.big && !phone
    readonly property bool atHome: job === null
    readonly property bool practice: job !== null && job.practice
    readonly property int disputes: job !== null ? job.lists.disputes.count : 0
    signal asked(string what)

    color: Palette.ground
    StripCell {
        id: tile
        readonly property real room: (strip.phone ? 21.4 : strip.wide ? 30.5 : strip.form === "portrait" ? 25.4 : 30) * Metrics.mm
        width: room
        lineLeft: false
        label: strip.atHome ? "Chockside" : strip.job.tail + (strip.practice ? ", " + qsTr("practice") : "") + ", " + qsTr("back to the jobs")
        onActed: strip.asked("home")
        Rectangle {
            anchors.fill: parent
            color: Palette.tile
            Column {
                anchors { left: parent.left; leftMargin: (strip.phone ? 1 : 2.2) * Metrics.mm; verticalCenter: parent.verticalCenter }
                spacing: 0.8 * Metrics.mm
                Words {
                    width: tile.width - 2.4 * Metrics.mm
                    text: strip.atHome ? "Chockside" : strip.job.tail
                    color: Palette.onTile
                    bold: true
                    font.pixelSize: Math.round((strip.phone ? 3.5 : 4.3) * Metrics.mm)
                    wrapMode: Text.NoWrap
                    fontSizeMode: Text.HorizontalFit
                    minimumPixelSize: Math.round(3.3 * Metrics.mm)
                }
                Rectangle {
                    visible: strip.practice
                    width: word.width + 2.4 * Metrics.mm
                    height: word.height + 0.6 * Metrics.mm
                    color: "transparent"
                    border { color: Palette.onTile; width: Metrics.hairline }
                    Words { id: word; anchors.centerIn: parent; text: qsTr("PRACTICE"); color: Palette.onTile; bold: true; font.pixelSize: Math.round(3.3 * Metrics.mm); wrapMode: Text.NoWrap }
                }
            }
        }
    }
    StripCell {
        id: writeUp
        visible: strip.form !== "portrait" && !strip.phone
        lineLeft: false
        anchors { left: tile.right; right: cells.left }
        label: title.text + ", " + under.text
        onActed: strip.asked(strip.atHome ? "home" : "write-up")
        Column {
            anchors { left: parent.left; right: parent.right; margins: 2.2 * Metrics.mm; verticalCenter: parent.verticalCenter }
            Words {
                id: title
                width: parent.width
                text: strip.atHome ? strip.home.station : Metrics.big ? strip.job.lists.rail.all[strip.job.stage]?.title ?? "" : strip.job.complaint
                bold: true
                font.pixelSize: Metrics.big && !strip.atHome ? Type.row : Type.floor
                wrapMode: Text.NoWrap
                elide: Text.ElideRight
            }
            Words { id: under; visible: !Metrics.big; width: parent.width; text: strip.atHome ? strip.home.signed_in : strip.job.leaves; second: true; wrapMode: Text.NoWrap; elide: Text.ElideRight }
        }
    }
    Row {
        id: cells
        anchors.right: parent.right
        height: parent.height
        StripCell {
            visible: strip.wide
            width: visible ? 26.6 * Metrics.mm : 0
            label: linkWord.word + ", " + linkMore.text
            asks: strip.atHome ? "queue" : "live"
            onActed: strip.asked(strip.atHome ? "queue" : "live")
            Column {
                anchors { left: parent.left; right: parent.right; margins: 2.4 * Metrics.mm; verticalCenter: parent.verticalCenter }
                MarkWord { id: linkWord; mark: strip.atHome ? "none" : strip.job.link_mark; word: strip.atHome ? qsTr("Journal") : strip.job.link_word; bold: true; spacing: 1.2 * Metrics.mm }
                Words { id: linkMore; width: parent.width; text: strip.atHome ? qsTr("%1 unsent").arg(strip.home.unsent) : strip.job.link_detail; second: true; wrapMode: Text.NoWrap; elide: Text.ElideRight }
            }
        }
        // What only a job has is not made at home.
        Loader { active: !strip.atHome && !strip.phone && !Metrics.big; height: parent.height; sourceComponent: waitCell }
        Loader { active: !strip.atHome; height: parent.height; sourceComponent: openCell }
        Item {
            width: (strip.phone ? 19.2 : Metrics.big ? 44 : 29.4) * Metrics.mm
            height: parent.height
            Rectangle { width: Metrics.hairline; height: parent.height; color: Palette.edge }
            Accessible.role: Accessible.Clock
            Accessible.name: clock.text + " UTC"
            Column {
                anchors { left: parent.left; leftMargin: (strip.phone ? 1.6 : 2.6) * Metrics.mm; verticalCenter: parent.verticalCenter }
                spacing: -0.9 * Metrics.mm
                Row {
                    spacing: 1.3 * Metrics.mm
                    Figures { id: clock; text: strip.atHome ? strip.home.utc : strip.job.utc; font.pixelSize: strip.roomy ? Type.row : Math.round(6.1 * Metrics.mm) }
                    Words { visible: !strip.phone; text: "UTC"; anchors.baseline: clock.baseline; font.pixelSize: Metrics.big ? Type.row : Type.floor; wrapMode: Text.NoWrap }
                }
                Words { visible: !strip.roomy; font.pixelSize: strip.phone ? Math.round(3.3 * Metrics.mm) : Type.floor; text: strip.phone ? "UTC" : qsTr("%1 local").arg(strip.atHome ? strip.home.local : strip.job.local); second: true; wrapMode: Text.NoWrap }
            }
        }
        StripCell {
            width: (strip.phone ? 11.6 : 15.5) * Metrics.mm
            label: qsTr("Theme: %1").arg(Palette.word)
            onActed: strip.settings.light = (Palette.light + 1) % 3
            Column {
                anchors.centerIn: parent
                Icon { name: Palette.icon; color: Palette.ink; width: (strip.roomy ? 8 : 5.6) * Metrics.mm; height: width; anchors.horizontalCenter: parent.horizontalCenter }
                Words { visible: !strip.roomy; font.pixelSize: strip.phone ? Math.round(3.3 * Metrics.mm) : Type.floor; text: Palette.word; wrapMode: Text.NoWrap; anchors.horizontalCenter: parent.horizontalCenter }
            }
        }
    }
    Component {
        id: waitCell
        StripCell {
            width: (strip.wide ? 27.4 : 38) * Metrics.mm
            label: strip.job.wait_figure + " " + strip.job.wait_word
            asks: "wait"
            onActed: strip.asked("make-ready")
            Column {
                anchors { left: parent.left; right: parent.right; leftMargin: 2.4 * Metrics.mm; verticalCenter: parent.verticalCenter }
                spacing: -0.9 * Metrics.mm
                Figures { text: strip.job.wait_figure; font.pixelSize: Math.round(6.1 * Metrics.mm) }
                Words { width: parent.width; text: strip.job.wait_word; second: true; wrapMode: Text.NoWrap; elide: Text.ElideRight }
            }
        }
    }
    Component {
        id: openCell
        StripCell {
            width: (strip.phone ? 13 : Metrics.big ? 35 : 18.4) * Metrics.mm
            label: strip.disputes > 0 ? qsTr("%1 open, %2 told two ways").arg(strip.job.open_count).arg(strip.disputes) : strip.job.open_count === 0 ? qsTr("0 open, all closed") : qsTr("%1 open").arg(strip.job.open_count)
            asks: "open"
            onActed: strip.asked("open")
            Column {
                anchors { left: parent.left; leftMargin: (strip.phone ? 1.4 : 2.2) * Metrics.mm; verticalCenter: parent.verticalCenter }
                spacing: -0.9 * Metrics.mm
                Row {
                    spacing: 1.2 * Metrics.mm
                    Mark { name: strip.disputes > 0 ? "attn" : strip.job.open_count === 0 ? "closed" : "open"; width: (strip.phone ? 4.6 : 5.4) * Metrics.mm; height: width; anchors.verticalCenter: parent.verticalCenter }
                    Figures { text: strip.job.open_count; font.pixelSize: strip.roomy ? Type.row : Math.round(6.1 * Metrics.mm) }
                    Words { visible: strip.roomy; text: qsTr("open"); font.pixelSize: Type.row; anchors.verticalCenter: parent.verticalCenter; wrapMode: Text.NoWrap }
                }
                Words { objectName: "openWord"; visible: !strip.roomy; text: strip.disputes > 0 && !strip.phone ? qsTr("disputed") : strip.phone || strip.job.open_count > 0 ? qsTr("open") : qsTr("all closed"); second: true; wrapMode: Text.NoWrap; font.pixelSize: strip.phone || strip.job.open_count === 0 ? Math.round(3.3 * Metrics.mm) : Type.floor }
            }
        }
    }
    Rectangle { anchors.bottom: parent.bottom; width: parent.width; height: Metrics.border; color: Palette.line; visible: !strip.practice }
}
