// Jobs, practice, help and settings: the frame without a job's line.
// Not Bound: the Loader of Qt 6.4 refuses bound components.
import QtQuick
import Chockside.Theme
import Chockside.Parts
import Chockside.Models

Frame {
    id: screen
    required property HomeModel home
    required property SettingsModel settings
    required property string sheet
    property LockModel lock
    property QueueModel queue
    property NewJobModel draft
    property string bannerKind
    property string bannerHead
    property string bannerSays
    readonly property bool phone: form === "phone"
    // A thumb needs its width: on a phone there is room for four, and help stands beside the settings.
    readonly property var places: [["home", "list", qsTr("Jobs")], ["start", "right", qsTr("Practice")], ["queue", "session", qsTr("Shop")], ["help", "help", qsTr("Help")], ["settings", "gear", qsTr("Settings")]].filter(place => !phone || place[0] !== "help")
    signal shown(string what)

    recordHeight: recordItem.implicitHeight
    strip: StateStrip { anchors.fill: parent; home: screen.home; settings: screen.settings; form: screen.form; onAsked: what => screen.shown(what) }
    rail: Rectangle {
        anchors.fill: parent
        color: Palette.ground
        Grid {
            anchors.fill: parent
            columns: screen.side ? 1 : screen.places.length
            Repeater {
                model: screen.places
                Key {
                    id: place
                    required property var modelData
                    readonly property bool seen: screen.sheet === modelData[0]
                    faced: false
                    width: screen.side ? parent.width : parent.width / screen.places.length
                    height: screen.side ? parent.height / screen.places.length : parent.height
                    label: modelData[2]
                    chosen: seen
                    onActed: modelData[0] === "start" ? screen.home.practise() : screen.shown(modelData[0])
                    Rectangle { anchors.fill: parent; color: place.seen ? Palette.panel : Palette.ground }
                    Rectangle { anchors { bottom: parent.bottom; left: parent.left; right: parent.right } height: Metrics.hairline; color: Palette.edge; visible: screen.side }
                    Rectangle {
                        visible: !place.seen
                        x: screen.side && !Metrics.left_hand ? parent.width - width : 0
                        y: screen.side ? 0 : parent.height - height
                        width: screen.side ? Metrics.border : parent.width
                        height: screen.side ? parent.height : Metrics.border
                        color: Palette.line
                    }
                    Column {
                        anchors.centerIn: parent
                        spacing: (screen.phone ? 0.4 : 1.6) * Metrics.mm
                        Icon { name: place.modelData[1]; color: Palette.ink; width: (screen.phone ? 4.4 : 5.4) * Metrics.mm; height: width; anchors.horizontalCenter: parent.horizontalCenter }
                        Words { visible: !Metrics.big || !screen.side; width: place.width - 0.6 * Metrics.mm; horizontalAlignment: Text.AlignHCenter; text: place.modelData[2]; bold: true; font.pixelSize: screen.side ? Type.label : Type.floor; wrapMode: Text.NoWrap; fontSizeMode: Text.HorizontalFit; minimumPixelSize: Math.round(3.3 * Metrics.mm); anchors.horizontalCenter: parent.horizontalCenter }
                    }
                }
            }
        }
    }
    record: Record {
        id: recordItem
        anchors.fill: parent
        form: screen.form
        unsent: screen.home.unsent === 0 ? qsTr("all sent") : qsTr("%1 unsent").arg(screen.home.unsent)
        readonly property bool opening: screen.sheet === "new"
        small: !opening ? screen.home.key_small : screen.draft.missing !== "" ? qsTr("Waits: %1").arg(screen.draft.missing) : screen.draft.practice ? qsTr("Marked PRACTICE, as its profile is") : qsTr("A real aircraft")
        word: opening ? qsTr("Open the job") : screen.home.key_large
        ready: opening ? screen.draft.missing === "" : screen.home.known
        keys: screen.sheet === "home" ? [{id: "new", icon: "note", word: qsTr("New job")}] : screen.phone && screen.sheet === "settings" ? [{id: "home", icon: "back", word: qsTr("Back")}, {id: "help", icon: "help", word: qsTr("Help")}] : [{id: "home", icon: "back", word: qsTr("Back")}]
        wantKeys: true
        onPressed: opening ? screen.draft.open() : screen.home.press()
        onKeyed: id => screen.shown(id)
    }
    centre: Centre {
        id: centre
        anchors.fill: parent
        phone: screen.phone
        bannerKind: screen.bannerKind
        bannerHead: screen.bannerHead
        bannerSays: screen.bannerSays
        topic: screen.sheet
        sentence: screen.sheet === "settings" ? qsTr("Set it to your light, eyes and hand.") : screen.sheet === "new" ? qsTr("Which aircraft, and what is written up?") : screen.sheet === "help" ? qsTr("One line, kept whole.") : screen.sheet === "queue" ? (screen.queue.carry.shown ? screen.queue.carry.sentence : screen.queue.sentence) : screen.home.sentence
        page: Loader {
            readonly property string sheet: screen.sheet
            width: centre.inner
            onSheetChanged: put()
            onLoaded: {
                item.phone = Qt.binding(() => screen.phone)
                if (sheet === "queue") item.room = Qt.binding(() => centre.room)
            }
            Component.onCompleted: put()
            // By their addresses, so that a start does not load what it does not show.
            function put() {
                if (sheet === "settings") setSource("Settings.qml", {settings: screen.settings, lock: screen.lock})
                else if (sheet === "queue") setSource("Queue.qml", {queue: screen.queue})
                else if (sheet === "new") setSource("NewJob.qml", {draft: screen.draft, settings: screen.settings})
                else if (sheet === "help") setSource("Help.qml")
                else sourceComponent = jobsPage
            }
        }
    }
    Component { id: jobsPage; Home { home: screen.home; room: centre.room } }
}
