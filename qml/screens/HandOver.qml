// The series of pictures, one at a time and as large as the page: by hand, or turned by itself.
pragma ComponentBehavior: Bound
import QtQuick
import Chockside.Theme
import Chockside.Parts
import Chockside.Models

Item {
    id: page
    required property CarryModel carry
    property bool phone: false
    property real room: 0
    readonly property bool beside: width > 1.1 * room && !phone
    readonly property real keyHeight: 15 * Metrics.mm
    readonly property real gap: 2 * Metrics.mm

    implicitHeight: beside ? Math.max(room, told.implicitHeight) : picture.height + gap + told.implicitHeight
    SymbolPicture {
        id: picture
        objectName: "symbol"
        text: page.carry.symbol
        x: page.beside && Metrics.left_hand ? parent.width - width : 0
        width: page.beside ? Math.min(page.room, page.width * 0.62) : page.width
        height: page.beside ? width : Math.min(width, Math.max(page.room - (page.phone ? page.keyHeight : told.implicitHeight) - page.gap, 52 * Metrics.mm)) // a reader has to tell its squares apart
        Accessible.role: Accessible.Graphic
        Accessible.name: page.carry.place
    }
    Column {
        id: told
        x: page.beside && !Metrics.left_hand ? picture.width + 2 * page.gap : 0
        y: page.beside ? 0 : picture.height + page.gap
        width: page.beside ? page.width - picture.width - 2 * page.gap : page.width
        spacing: page.gap
        Flow {
            width: parent.width
            spacing: page.gap
            Repeater {
                model: [["before", qsTr("Prior")], ["next_one", qsTr("Next")], ["run", qsTr("Run")], ["over", qsTr("Done")]]
                SecondaryKey {
                    required property var modelData
                    objectName: modelData[0]
                    width: Math.floor((told.width - (page.phone ? 3 : 1) * page.gap) / (page.phone ? 4 : 2))
                    height: page.keyHeight
                    word: modelData[0] === "run" && page.carry.running ? qsTr("Pause") : modelData[1]
                    onActed: {
                        if (modelData[0] === "over") page.carry.done()
                        else if (modelData[0] === "run") page.carry.run(!page.carry.running)
                        else page.carry.step(modelData[0] === "next_one" ? 1 : -1)
                    }
                }
            }
        }
        Words { width: parent.width; text: page.carry.says }
        Words { width: parent.width; second: true; text: page.carry.file; wrapMode: Text.WrapAnywhere }
    }
}
