// The centre of every screen: banner, sentence, the page (which scrolls), and the foot. Head and foot stand still where they leave the
// page room; where they do not, all of it scrolls as one sheet, what is asked before what is known, so that nothing lies over anything.
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
    /// What the sheet is about: another one is read from its top.
    property string topic
    /// Where hazards end, in the foot and on the page; 0 without any.
    property real footHazards: 0
    property real pageHazards: 0
    property alias page: pageSlot.data
    property alias foot: footSlot.data
    /// Last on the page, where the record has no room for it.
    property alias tail: tailSlot.data
    property Item pageItem: pageSlot.children.length ? pageSlot.children[0] : null
    property Item footItem: footSlot.children.length ? footSlot.children[0] : null
    readonly property real pad: (phone ? 2.2 : 3.8) * Metrics.mm
    readonly property real inner: width - 2 * pad
    readonly property real gap: (phone ? 1.2 : 2) * Metrics.mm
    readonly property real margin: (phone ? 1.8 : 2.9) * Metrics.mm
    readonly property real least: 24 * Metrics.mm
    readonly property real footHeight: footItem && footItem.visible ? footItem.implicitHeight : 0
    readonly property bool crowded: head.height + footHeight + least > height
    /// One sheet. Once it is, it stays so for as long as it is about the same: a key that grows shorter must not throw who reads back to the top.
    property bool together: false
    property bool held: false
    readonly property string laid_out: [topic, width, Type.floor].join(" ")
    readonly property real room: together ? Math.max(40 * Metrics.mm, height - 2 * margin) : scroll.height
    readonly property real hazards: Math.max(together && footHazards > 0 ? footSlot.y + footHazards : 0, pageHazards > 0 ? pageSlot.y + pageHazards : 0)
    readonly property real edge: scroll.contentY + scroll.height
    /// Hazards that were not yet on the glass to their end.
    property bool unseen: false
    property bool read: false

    function gather() {
        if (crowded || !held)
            together = crowded
    }
    onCrowdedChanged: gather()
    onLaid_outChanged: {
        held = false
        holding.restart()
        gather()
    }
    Timer { id: holding; interval: 300; onTriggered: centre.held = true }

    function forget() {
        unseen = read = false
        rest.restart()
    }
    function look() {
        if (!read && hazards > 0) {
            read = unseen && edge >= hazards - 1
            unseen = !read && (unseen || hazards > edge + 1)
        }
    }
    // Two lines stay, so that none is cut in both views.
    function read_on() {
        scroll.contentY = Math.max(0, Math.min(hazards - scroll.height, scroll.contentY + Math.max(scroll.height * 0.4, scroll.height - 2.6 * Type.floor)))
        look()
    }
    onTopicChanged: {
        scroll.contentY = 0
        forget()
    }
    onTogetherChanged: {
        scroll.contentY = 0
        forget()
    }
    onHazardsChanged: forget()
    // When the page rests, and by no binding: what is unseen changes the large key's words, and with its height the page's. That the
    // shorter key lays the last line bare for a moment does not count, a touch or scrolling does.
    onEdgeChanged: if (!unseen) rest.restart()
    Timer { id: rest; interval: 100; onTriggered: centre.look() }

    Column {
        id: head
        parent: centre.together ? scroll.contentItem : centre
        x: centre.together ? 0 : centre.pad
        y: centre.margin
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
                Accessible.role: Accessible.ListItem
                Accessible.name: (index + 1) + ", " + modelData
                Figures { id: number; text: step.index + 1; font.pixelSize: Type.live; anchors.verticalCenter: parent.verticalCenter }
                Words { id: saying; x: Math.max(8 * Metrics.mm, number.width + 3 * Metrics.mm); width: parent.width - x; text: step.modelData; font.pixelSize: Type.row; anchors.verticalCenter: parent.verticalCenter }
                Rule { anchors.bottom: parent.bottom; width: parent.width }
            }
        }
    }
    Flickable {
        id: scroll
        x: centre.pad
        y: centre.together ? 0 : head.y + head.height + (head.height > 0 ? centre.gap : 0)
        width: centre.inner
        height: centre.together ? centre.height : (footSlot.height > 0 ? footSlot.y - (centre.phone ? 1.2 : 1.8) * Metrics.mm : centre.height - 1.4 * Metrics.mm) - y
        contentHeight: tailSlot.y + tailSlot.height + (centre.together ? centre.margin : 0)
        contentWidth: width
        boundsBehavior: Flickable.StopAtBounds
        interactive: contentHeight > height + 1
        clip: contentHeight > height + 1
        onMovementEnded: centre.look()
        Rule { visible: centre.together && footSlot.height > 0; heavy: true; width: parent.width; y: pageSlot.y - 2 * Metrics.mm }
        Item {
            id: pageSlot
            y: !centre.together ? 0 : footSlot.height > 0 ? footSlot.y + footSlot.height + 4 * Metrics.mm : footSlot.y
            width: scroll.width
            height: centre.pageItem ? centre.pageItem.implicitHeight : 0
        }
        Item {
            id: tailSlot
            y: pageSlot.y + pageSlot.height + (height > 0 ? 4 * Metrics.mm : 0)
            width: scroll.width
            height: childrenRect.height
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
        parent: centre.together ? scroll.contentItem : centre
        x: centre.together ? 0 : centre.pad
        width: centre.inner
        height: centre.footHeight
        y: centre.together ? head.y + head.height + (head.height > 0 ? centre.gap : 0) : centre.height - height - (height > 0 ? (centre.phone ? 1.6 : 2.4) * Metrics.mm : 0)
    }
}
