// What stands open on the aircraft, in the order in which it must be put back.
pragma ComponentBehavior: Bound
import QtQuick
import Chockside.Theme
import Chockside.Parts
import Chockside.Models

Column {
    id: list
    required property JobModel job
    property bool phone: false

    Repeater {
        model: list.job.lists.disputes
        Column {
            id: dispute
            required property string id
            required property string title
            required property string says
            required property string ends
            objectName: "dispute:" + id
            width: list.width
            spacing: 0.6 * Metrics.mm
            Accessible.role: Accessible.ListItem
            Accessible.name: told.word + ". " + says + ". " + ends
            MarkWord { id: told; mark: "attn"; word: qsTr("Told two ways: %1").arg(dispute.title); bold: true }
            Words { width: parent.width; text: dispute.says; visible: text !== "" }
            Words { width: parent.width; text: dispute.ends; second: true; bottomPadding: 1.4 * Metrics.mm }
            Rule { width: parent.width }
        }
    }
    Item {
        visible: list.job.lists.put_back.count > 0
        width: parent.width
        height: visible ? Math.max(9.4 * Metrics.mm, done.implicitHeight + 2 * Metrics.mm) : 0
        RailLine { width: 8.8 * Metrics.mm; height: parent.height; state: "solid" }
        Column {
            id: done
            x: 11.1 * Metrics.mm
            width: parent.width - x - (list.phone ? 8 : 26 * Metrics.text_scale) * Metrics.mm
            anchors.verticalCenter: parent.verticalCenter
            Words { text: qsTr("%1 put back").arg(list.job.lists.put_back.count); wrapMode: Text.NoWrap }
            Words {
                width: parent.width
                second: true
                text: list.job.lists.put_back.all.map(item => item.title).join(", ")
            }
        }
        MarkWord { anchors { right: parent.right; verticalCenter: parent.verticalCenter } mark: "good"; word: list.phone ? "" : qsTr("closed"); wordFirst: true }
        Rule { anchors.bottom: parent.bottom; x: 11.1 * Metrics.mm; width: parent.width - x }
    }
    Repeater {
        model: list.job.lists.open
        OpenItemRow {
            required icon
            required title
            required detail
            required word
            required mark
            required property string id
            required property int index
            width: list.width
            phone: list.phone
            here: index === 0
        }
    }
    MarkWord { visible: list.job.open_count === 0 && list.job.lists.disputes.count === 0; mark: "good"; word: qsTr("Nothing stands open.") }
}
