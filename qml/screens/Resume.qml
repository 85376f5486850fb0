// On return: the three last steps, what happened meanwhile, what stands open and must be looked at again.
pragma ComponentBehavior: Bound
import QtQuick
import Chockside.Theme
import Chockside.Parts
import Chockside.Models

Item {
    id: page
    required property JobModel job
    required property var meanwhile
    required property Returning returning
    property bool phone: false
    property real room: 0

    readonly property real gap: 2 * Metrics.mm
    // Where large text on a phone would put it screens below, what is asked comes before what is known.
    readonly property bool asksFirst: phone && Metrics.big
    implicitHeight: Math.max(ask.visible ? ask.y + ask.height : 0, since.visible ? since.y + since.height : past.y + past.height)
    Column {
        id: past
        y: page.asksFirst && ask.visible ? ask.height + page.gap : 0
        width: parent.width
        Repeater {
            model: page.returning.steps
            Item {
                id: step
                required property var modelData
                readonly property bool under: page.phone && Metrics.big
                width: page.width
                height: Math.max(7.6 * Metrics.mm, saying.implicitHeight + (under ? at.height : 0) + 2 * Metrics.mm)
                RailLine { width: 8.8 * Metrics.mm; height: parent.height; state: "solid" }
                Rectangle { x: 8.8 * Metrics.mm * 0.43 - width / 2; anchors.verticalCenter: parent.verticalCenter; width: 4 * Metrics.mm; height: width; color: Palette.line }
                Figures { id: at; x: 12.4 * Metrics.mm; y: step.under ? 0.6 * Metrics.mm : (parent.height - height) / 2; text: step.modelData.at; second: true; font.pixelSize: Type.label }
                Words { id: saying; x: step.under ? at.x : at.x + at.width + 3.2 * Metrics.mm; y: step.under ? at.y + at.height : (parent.height - height) / 2; width: parent.width - x; text: step.modelData.text; bold: true; font.pixelSize: Type.row }
                Rule { anchors.bottom: parent.bottom; x: 12.4 * Metrics.mm; width: parent.width - x }
            }
        }
        Item {
            width: parent.width
            height: Math.max(8 * Metrics.mm, stopped.implicitHeight + 1.6 * Metrics.mm)
            RailLine { width: 8.8 * Metrics.mm; height: parent.height; state: "hollow"; here: true }
            Words { id: stopped; x: 12.4 * Metrics.mm; width: parent.width - x; text: qsTr("You stopped here. Next: %1").arg(page.job.key_large); font.pixelSize: Type.row; anchors.verticalCenter: parent.verticalCenter }
        }
    }
    Column {
        id: since
        visible: page.meanwhile.length > 0
        y: past.y + past.height + page.gap
        width: parent.width
        spacing: page.gap
        Words { text: qsTr("Meanwhile"); width: page.width; bold: true; font.pixelSize: Type.row }
        Repeater {
            model: page.meanwhile
            MarkWord { required property var modelData; most: page.width; mark: modelData.mark; word: modelData.text }
        }
    }
    Column {
        id: ask
        visible: page.returning.things.length > 0
        y: page.asksFirst ? 0 : since.visible ? since.y + since.height + page.gap : since.y
        width: parent.width
        spacing: page.gap
        Words { text: qsTr("Go and look: does each stand as you left it?"); width: page.width; bold: true; font.pixelSize: Type.row }
        Repeater {
            model: page.job.lists.left.all
            Column {
                id: together
                required property var modelData
                Look { thing: together.modelData }
                Repeater {
                    model: page.returning.parts_of(together.modelData)
                    Look { required property var modelData; thing: modelData; inset: 6 * Metrics.mm }
                }
            }
        }
    }

    component Look: Item {
        id: look
        required property var thing
        property real inset: 0
        readonly property string said: page.returning.said[thing.id] ?? ""
        width: page.width
        readonly property bool under: page.phone && Metrics.big
        height: under ? names.height + keys.height + 3 * Metrics.mm : Math.max(15.6 * Metrics.mm, keys.height + 0.6 * Metrics.mm, names.implicitHeight + 1 * Metrics.mm)
        Column {
            id: names
            x: look.inset
            y: look.under ? 0 : (parent.height - height) / 2
            width: look.width - x - (look.under ? 0 : keys.width + 2 * Metrics.mm)
            Words { width: parent.width; text: look.thing.title; bold: true; font.pixelSize: Type.row }
            Words { width: parent.width; text: look.thing.detail; visible: text !== "" }
        }
        Row {
            id: keys
            x: parent.width - width
            y: look.under ? names.height + 1 * Metrics.mm : (parent.height - height) / 2
            spacing: 3 * Metrics.mm
            readonly property real one: look.under ? (look.width - look.inset - spacing) / 2 : (page.phone ? 17 : 28) * Metrics.mm
            SecondaryKey { objectName: "left:" + look.thing.id; width: keys.one; word: qsTr("As left"); chosen: look.said === "left"; onActed: page.returning.say(look.thing.id, "left") }
            SecondaryKey { objectName: "not:" + look.thing.id; width: keys.one; word: look.thing.parts.length > 0 ? qsTr("Not all") : qsTr("Not so"); chosen: look.said === "not"; onActed: page.returning.say(look.thing.id, "not") }
        }
    }
}
