// One job's screens, tied to the app. The window takes it by its address, so that a start on the jobs does not load it.
import QtQuick
import Chockside.Screens
import Chockside.App

JobScreen {
    id: page
    required property App app

    job: app.job
    live: app.live
    history: app.history
    draft: app.draft
    portCheck: app.port_check
    flex: app.flex
    hands: app.practice
    settings: app.settings
    sheet: app.screen
    stage: app.shown_stage
    follows: app.follows
    bannerKind: app.banner_kind
    bannerHead: app.banner_head
    bannerSays: app.banner_says
    bannerSteps: app.banner_steps
    awayMinutes: app.away_minutes
    awayWords: app.away_words
    meanwhile: app.meanwhile
    lastSteps: app.last_steps
    returning: app.returning
    onShown: what => page.app.show(what)
    onWentOn: page.app.went_on()
    onReportAsked: page.app.write_report()
    onLooked: stage => page.app.look_at(stage)
}
