// A job is a row with its line; the large key goes on where you stopped. Only the rows in view are made.
// Not Bound: the Loader of Qt 6.4 refuses bound components.
import QtQuick
import Chockside.Theme
import Chockside.Parts
import Chockside.Models

Item {
    id: page
    required property HomeModel home
    property bool phone: false
    property real room: 0

    readonly property bool many: home.total > 8
    property bool drawn: false
    Connections { target: page.drawn ? null : page.Window.window; function onFrameSwapped() { page.drawn = true } }
    readonly property bool bare: home.total === 0 && home.from_shop.count === 0
    implicitHeight: home.known && bare ? none.implicitHeight : room
    Loader {
        id: finder
        active: page.many && page.drawn // the jobs come first
        width: Math.min(parent.width, 80 * Metrics.mm)
        height: Math.max(11.8 * Metrics.mm, Type.row * 2) + Type.floor * 1.6
        sourceComponent: Field { objectName: "field:search"; title: qsTr("Find by tail or complaint"); text: page.home.searched; onEdited: text => page.home.search(text) }
    }
    ListView {
        id: list
        anchors { fill: parent; topMargin: page.many ? finder.height + 2.4 * Metrics.mm : 0 }
        anchors.rightMargin: page.home.total > 3 ? 1.6 * Metrics.mm : 0 // whether it scrolls hangs on its rows' width
        model: page.width > 0 ? page.home.jobs : null
        spacing: 2.8 * Metrics.mm
        cacheBuffer: 0
        boundsBehavior: Flickable.StopAtBounds
        interactive: contentHeight > height + 1
        clip: interactive
        // What comes while nobody has scrolled is seen at once.
        property bool scrolled: false
        onMovementStarted: scrolled = true
        function show_first() { if (!scrolled) positionViewAtBeginning() }
        header: Column {
            width: list.width
            onHeightChanged: Qt.callLater(list.show_first)
            Repeater {
                model: page.home.from_shop
                Item {
                    required property string id
                    required property string job
                    required property string head
                    required property string text
                    required property string by
                    required property bool waits
                    width: list.width
                    height: shop.height + list.spacing
                    ShopRow {
                        id: shop
                        objectName: (parent.waits ? "write_up:" : "word:") + parent.job
                        width: parent.width
                        height: implicitHeight
                        head: parent.head
                        said: parent.text
                        by: parent.by
                        write_up: parent.waits
                        leads: parent.job !== ""
                        onActed: parent.waits ? page.home.begin(parent.job) : page.home.open(parent.job)
                    }
                }
            }
        }
        delegate: JobRow {
            required tail
            required note
            required complaint
            required mark
            required where
            required pieces
            required mine
            required property string job
            required property string state
            objectName: "job:" + job
            width: list.width
            phone: page.phone
            state_words: row_state
            readonly property string row_state: state
            onActed: page.home.open(job)
            onActiveFocusChanged: if (activeFocus) list.positionViewAtIndex(index, ListView.Contain)
            required property int index
        }
    }
    Rectangle {
        visible: list.interactive
        x: page.width - width
        width: 0.7 * Metrics.mm
        y: list.y + list.visibleArea.yPosition * list.height
        height: list.visibleArea.heightRatio * list.height
        color: Palette.edge
    }
    Loader {
        id: none
        active: page.home.known && page.bare
        width: parent.width
        sourceComponent: Column {
            spacing: 2 * Metrics.mm
            Words { width: parent.width; font.pixelSize: Type.row; lineHeight: 1.2; text: qsTr("A practice job has an invented aircraft with one fault in it. You work it as a real one: ask the crew, save what is found, isolate, put right, prove, close.") }
            MarkWord { mark: "info"; word: qsTr("Nothing you do there reaches a real aircraft.") }
        }
    }
}
