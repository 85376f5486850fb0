// The window: home first, a job only when one is opened.
// Not Bound: the Loader of Qt 6.4 refuses bound components.
import QtQuick
import Chockside.Theme
import Chockside.Models
import Chockside.Screens
import Chockside.App

Window {
    id: window
    required property App app
    readonly property string form: width / Metrics.mm < 80 ? "phone" : height > width ? "portrait" : "landscape"
    readonly property bool atHome: ["home", "new", "settings", "help", "queue"].includes(app.screen)

    width: 1280
    height: 800
    visible: true
    title: "Chockside"
    color: Palette.panel

    Loader {
        anchors.fill: parent
        active: window.atHome && !app.lock.locked
        sourceComponent: HomeScreen {
            lock: window.app.lock
            queue: window.app.queue
            draft: window.app.draft
            home: window.app.home
            settings: window.app.settings
            sheet: window.app.screen
            form: window.form
            bannerKind: window.app.banner_kind
            bannerHead: window.app.banner_head
            bannerSays: window.app.banner_says
            onShown: what => window.app.show(what)
        }
    }
    Loader {
        anchors.fill: parent
        active: !window.atHome && !app.lock.locked
        Component.onCompleted: setSource("JobPage.qml", {app: window.app})
        onLoaded: item.form = Qt.binding(() => window.form)
    }
    // By its address: a start that is not locked does not load it.
    Loader {
        anchors.fill: parent
        readonly property bool wanted: app.lock.locked
        onWantedChanged: put()
        Component.onCompleted: put()
        function put() {
            if (wanted) setSource("LockPage.qml", {app: window.app})
            else source = ""
        }
        onLoaded: item.form = Qt.binding(() => window.form)
    }
}
