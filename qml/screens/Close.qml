// Close: the line stood on end, last out, first back; then the acts with certificate and the facts-only entry as paper.
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
    readonly property bool acting: job.open_count === 0 && job.lists.acts.count > 0
    readonly property bool signing: job.prompt.kind === "sign"

    spacing: 2.2 * Metrics.mm
    OpenList { visible: !page.acting; job: page.job; width: parent.width; phone: page.phone }
    Words { visible: !page.acting && !Palette.sun; width: parent.width; second: true; text: qsTr("Last out, first back. What stays open needs a deferral and a name.") }
    Column {
        visible: page.acting && !(page.phone && page.signing)
        width: parent.width
        Repeater {
            model: page.acting ? page.job.lists.acts : null
            Item {
                id: act
                required property string title
                required property string person
                required property string certificate
                required property string word
                required property string mark
                width: page.width
                readonly property bool under: page.phone || Metrics.big
                height: Math.max(7.6 * Metrics.mm, Type.row * 1.8, told.implicitHeight + (under ? title.height : 0) + 1.6 * Metrics.mm)
                Accessible.role: Accessible.ListItem
                Accessible.name: [act.title, act.person, certificate, act.word === "" ? sign.word : act.word].filter(told => told !== "").join(", ")
                Mark { id: sign; name: act.mark; width: 5.1 * Metrics.mm; height: width; anchors.verticalCenter: parent.verticalCenter }
                Words { id: title; anchors { left: sign.right; leftMargin: 2.2 * Metrics.mm } text: act.title; bold: true; font.pixelSize: Type.row; y: act.under ? 0.8 * Metrics.mm : (parent.height - height) / 2; width: act.under ? parent.width - x : 22 * Metrics.mm }
                Words { id: told; x: act.under ? title.x : 31 * Metrics.mm; y: act.under ? title.y + title.height : (parent.height - height) / 2; width: parent.width - x; text: [act.person, act.certificate, act.word === "" ? sign.word : act.word].filter(t => t !== "").join(", ") }
                Rule { anchors.bottom: parent.bottom; width: parent.width }
            }
        }
    }
    SignForm { visible: page.signing; job: page.job; width: parent.width; phone: page.phone }
    PaperFrame {
        visible: page.acting && page.job.entry_text !== ""
        width: parent.width
        height: entry.height + 4.4 * Metrics.mm
        Accessible.role: Accessible.StaticText
        Accessible.name: page.job.entry_text
        Words { id: entry; x: 3 * Metrics.mm; y: 2.2 * Metrics.mm; width: parent.width - 6 * Metrics.mm; text: page.job.entry_text; lineHeight: 1.2 }
    }
    Row {
        visible: page.acting && !Palette.sun
        spacing: 1.8 * Metrics.mm
        width: parent.width
        Mark { name: "info"; width: 4.2 * Metrics.mm; height: width }
        Words { width: parent.width - 6.2 * Metrics.mm; second: true; text: qsTr("Facts only. Likelihoods go to the troubleshooting sheet, for the shop.") }
    }
    ShopLine { visible: page.acting && !page.signing; job: page.job; width: parent.width }
}
