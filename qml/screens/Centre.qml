// The centre of every screen: banner, sentence, the page (which scrolls), and the foot (which never does).
pragma ComponentBehavior: Bound
import QtQuick
import Chockside.Theme
import Chockside.Parts

Item {
    id: centre
    property string sentence
    property string mark
    property bool phone: false
    property string bannerKind
    property string bannerHead
    property string bannerSays
    property var bannerSteps: []
    property alias page: pageSlot.data
    property alias foot: footSlot.data
    property Item pageItem: pageSlot.children.length ? pageSlot.children[0] : null
    property Item footItem: footSlot.children.length ? footSlot.children[0] : null
    readonly property real pad: (phone ? 2.2 : 3.8) * Metrics.mm
    readonly property real inner: width - 2 * pad
    readonly property real room: scroll.height

    Column {
        id: head
        x: centre.pad
        y: (centre.phone ? 1.8 : 2.9) * Metrics.mm
        width: centre.inner
        spacing: 2 * Metrics.mm
        Banner { visible: centre.bannerKind !== ""; width: parent.width; kind: centre.bannerKind; head: centre.bannerHead; says: centre.bannerSays }
        Words { visible: centre.bannerSteps.length > 0; text: qsTr("Do this now"); bold: true; font.pixelSize: Type.row }
        Row {
            visible: centre.sentence !== "" && centre.bannerSteps.length === 0
            width: parent.width
            spacing: 2.4 * Metrics.mm
            Mark { visible: centre.mark !== ""; name: centre.mark; width: 7 * Metrics.mm; height: width; y: 0.4 * Metrics.mm }
            Sentence { width: parent.width - (centre.mark !== "" ? 9.4 * Metrics.mm : 0); text: centre.sentence; phone: centre.phone }
        }
        Repeater {
            model: centre.bannerSteps
            Item {
                id: step
                required property string modelData
                required property int index
                width: head.width
                height: Math.max(10 * Metrics.mm, saying.implicitHeight + 3 * Metrics.mm)
                Figures { text: step.index + 1; font.pixelSize: Type.live; anchors.verticalCenter: parent.verticalCenter }
                Words { id: saying; x: 8 * Metrics.mm; width: parent.width - x; text: step.modelData; font.pixelSize: Type.row; anchors.verticalCenter: parent.verticalCenter }
                Rule { anchors.bottom: parent.bottom; width: parent.width }
            }
        }
    }
    Flickable {
        id: scroll
        x: centre.pad
        y: head.y + head.height + (head.height > 0 ? (centre.phone ? 1.2 : 2) * Metrics.mm : 0)
        width: centre.inner
        height: (footSlot.height > 0 ? footSlot.y - (centre.phone ? 1.2 : 1.8) * Metrics.mm : centre.height - 1.4 * Metrics.mm) - y
        contentHeight: pageSlot.height
        contentWidth: width
        boundsBehavior: Flickable.StopAtBounds
        interactive: contentHeight > height + 1
        clip: contentHeight > height + 1
        Item {
            id: pageSlot
            width: scroll.width
            height: centre.pageItem ? centre.pageItem.implicitHeight : 0
        }
    }
    Rectangle {
        visible: scroll.interactive
        x: centre.width - 1.2 * Metrics.mm
        width: 0.7 * Metrics.mm
        y: scroll.y + scroll.visibleArea.yPosition * scroll.height
        height: scroll.visibleArea.heightRatio * scroll.height
        color: Palette.edge
    }
    Item {
        id: footSlot
        x: centre.pad
        width: centre.inner
        height: centre.footItem && centre.footItem.visible ? centre.footItem.implicitHeight : 0
        y: centre.height - height - (height > 0 ? (centre.phone ? 1.6 : 2.4) * Metrics.mm : 0)
    }
}
