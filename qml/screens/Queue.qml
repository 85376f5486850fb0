// The way from this tablet to the shop. Nothing has to be tapped: it goes by itself when the shop is seen.
pragma ComponentBehavior: Bound
import QtQuick
import Chockside.Theme
import Chockside.Parts
import Chockside.Models

Column {
    id: page
    required property QueueModel queue
    property bool phone: false
    property real room: 0
    property string code

    HandOver {
        visible: page.queue.carry.shown
        width: parent.width
        carry: page.queue.carry
        phone: page.phone
        room: page.room
    }
    Column {
        visible: !page.queue.carry.shown
        width: parent.width
        spacing: 2.4 * Metrics.mm
        Item {
            visible: page.queue.known
            width: parent.width
            height: Type.floor * 1.5 + safe.implicitHeight + 6.4 * Metrics.mm
            Accessible.role: Accessible.StaticText
            Accessible.name: page.queue.here + ". " + qsTr("Shop") + " " + page.queue.there
            Words { text: qsTr("This tablet"); bold: true; wrapMode: Text.NoWrap }
            Words { anchors.right: parent.right; text: qsTr("Shop"); bold: true; wrapMode: Text.NoWrap }
            RailLine {
                standing: false
                y: Type.floor * 1.2
                width: parent.width
                height: 7.4 * Metrics.mm
                state: page.queue.unsent === 0 ? "solid" : "gap"
                filled: page.queue.share
                ground: Palette.panel
            }
            Words { id: safe; anchors.bottom: parent.bottom; text: page.queue.here; width: parent.width - has.width - 3 * Metrics.mm }
            Words { id: has; anchors { bottom: parent.bottom; right: parent.right } text: page.queue.there; wrapMode: Text.NoWrap }
        }
        Rule { visible: page.queue.known; width: parent.width }
        Words { visible: text !== ""; width: parent.width; text: page.queue.now; bold: true; font.pixelSize: Type.row }
        Words { visible: page.queue.known; width: parent.width; text: page.queue.files }
        Words { visible: text !== ""; width: parent.width; text: page.queue.lacking }
        Words { visible: text !== ""; width: parent.width; text: page.queue.archived }
        Words { visible: page.queue.known; width: parent.width; second: true; text: page.queue.shop; wrapMode: Text.WrapAnywhere }
        Flow {
            visible: page.queue.known
            width: parent.width
            spacing: 2 * Metrics.mm
            Repeater {
                model: [["try_now", qsTr("Try now")], ["hand_over", qsTr("Hand over")], ["look_back", qsTr("Read receipts")]]
                SecondaryKey {
                    required property var modelData
                    objectName: modelData[0]
                    visible: modelData[0] === "try_now" || (page.queue.enrolled && page.queue.unsent > 0)
                    width: Math.min(34 * Metrics.mm, parent.width)
                    height: 15 * Metrics.mm
                    word: modelData[1]
                    onActed: {
                        if (modelData[0] === "try_now") page.queue.try_now()
                        else if (modelData[0] === "hand_over") page.queue.carry.ask()
                        else page.queue.carry.look_back()
                    }
                }
            }
        }
        Words {
            visible: page.queue.enrolled && page.queue.unsent > 0
            width: parent.width
            second: true
            text: page.queue.carry.came !== "" ? page.queue.carry.came : qsTr("Without a network: hand over a file or pictures, and read the receipts that come back.")
        }
        Field {
            visible: !page.queue.enrolled
            objectName: "field:shop_code"
            width: parent.width
            most: 4000
            code: true
            title: qsTr("The shop's code, read from its page or typed")
            text: page.code
            onEdited: text => page.code = text
        }
        SecondaryKey {
            visible: !page.queue.enrolled && page.code.trim() !== ""
            objectName: "enrol"
            width: Math.min(34 * Metrics.mm, parent.width)
            height: 15 * Metrics.mm
            word: qsTr("Introduce this tablet")
            onActed: page.queue.enrol(page.code)
        }
        Words { visible: !page.queue.known; width: parent.width; second: true; text: qsTr("Everything stays safe on this tablet until then. An export works without a shop.") }
    }
}
