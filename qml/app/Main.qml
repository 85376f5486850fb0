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
    readonly property bool atHome: ["home", "settings", "help"].includes(app.screen)

    width: 1280
    height: 800
    visible: true
    title: "Chockside"
    color: Palette.panel

    Loader {
        anchors.fill: parent
        active: window.atHome
        sourceComponent: HomeScreen {
            home: window.app.home
            settings: window.app.settings
            sheet: window.app.screen
            form: window.form
            onShown: what => window.app.show(what)
        }
    }
    Loader {
        anchors.fill: parent
        active: !window.atHome
        sourceComponent: JobScreen {
            job: window.app.job
            live: window.app.live
            flex: window.app.flex
            hands: window.app.practice
            settings: window.app.settings
            sheet: window.app.screen
            stage: window.app.shown_stage
            follows: window.app.follows
            form: window.form
            bannerKind: window.app.banner_kind
            bannerHead: window.app.banner_head
            bannerSays: window.app.banner_says
            bannerSteps: window.app.banner_steps
            awayMinutes: window.app.away_minutes
            awayWords: window.app.away_words
            meanwhile: window.app.meanwhile
            lastSteps: window.app.last_steps
            onShown: what => window.app.show(what)
            onReportAsked: window.app.write_report()
            onLooked: stage => window.app.look_at(stage)
        }
    }
}
