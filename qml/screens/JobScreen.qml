// A job on the screen: frame, stage page, and the record whose large key is always the next thing.
// Not Bound: the Loader of Qt 6.4 refuses bound components.
import QtQuick
import Chockside.Theme
import Chockside.Parts
import Chockside.Models

Frame {
    id: screen
    required property JobModel job
    required property LiveModel live
    required property HistoryModel history
    required property NewJobModel draft
    required property PortCheckModel portCheck
    required property FlexModel flex
    required property PracticeModel hands
    required property SettingsModel settings
    required property string sheet        // "job" or a sheet over it
    required property int stage
    required property bool follows
    property string bannerKind
    property string bannerHead
    property string bannerSays
    property var bannerSteps: []
    property int awayMinutes: 0
    property string awayWords
    property var meanwhile: []
    property var lastSteps: []
    property string noteText
    property string noteSent         // on its way into the journal: its words stand until it is there
    readonly property bool phone: form === "phone"
    readonly property bool portrait: form === "portrait"
    readonly property bool typing: follows && sheet === "job" && (job.prompt.kind === "number" || (job.prompt.kind === "swing_point" && measuring))
    readonly property bool parting: follows && sheet === "job" && job.prompt.kind === "part"
    readonly property bool elsewhere: returning && !["note", "resume", "again"].includes(sheet)
    readonly property bool isolating: job.stage === 3
    readonly property bool writing: follows && sheet === "job" && job.prompt.kind === "text" && job.prompt.ready
    readonly property bool stopped: bannerKind === "stop"
    readonly property bool fixing: sheet === "entry" && !elsewhere && !stopped
    // Beside large text a phone has room for the large key alone; what stands beside it goes to the end of the page.
    readonly property bool ample: !(phone && Metrics.big && (sheet === "job" || sheet === "resume"))
    property bool measuring: false
    readonly property string asked: job.prompt.id
    onAskedChanged: measuring = false
    // A WARNING or a caution is acted under only where it stands on the glass, and was read to its end.
    readonly property bool unended: sheet === "job" && follows && !job.closed && !stopped && centre.unseen
    readonly property bool unread: (sheet !== "job" || !follows) && !["note", "resume", "again", "entry"].includes(sheet) && !job.closed && (job.lists.hazards.count > 0 || job.prompt.id === "cautions")
    readonly property bool flexing: follows && sheet === "job" && job.prompt.verb === "flex" && flex.running
    readonly property var newest: job.lists.recent.all[job.lists.recent.count - 1]
    property bool returning: false   // the return waits for its answers: nothing else is done before
    signal shown(string what)
    signal wentOn()
    signal reportAsked()
    signal looked(int stage)

    Connections {
        target: screen.job
        function onNote_written() {
            if (screen.noteSent === "")
                return
            if (screen.noteText === screen.noteSent)
                screen.noteText = ""
            screen.noteSent = ""
            if (screen.sheet === "note")
                screen.shown("job")
        }
        function onPhoto_written() {
            if (screen.sheet === "photo")
                screen.shown("job")
        }
        function onFix_written() {
            if (screen.sheet === "entry")
                screen.shown("journal")
        }
        function onRefused_changed() {
            if (screen.job.refused)
                screen.noteSent = ""
        }
    }
    Returning { id: back; job: screen.job; minutes: screen.awayMinutes; steps: screen.lastSteps }
    onSheetChanged: if (sheet === "resume") back.begin()
    // The lock took the screen away while the steps were looked at again: from the start.
    Component.onCompleted: if (sheet === "again") shown("resume")
    practice: job.practice
    recordHeight: recordItem.implicitHeight

    function headline() {
        switch (sheet) {
        case "photo": return qsTr("Which picture? The newest is first.")
        case "entry": return qsTr("Entry of %1 Z.").arg(job.fix.at)
        case "open": return job.open_count === 0 && job.lists.disputes.count > 0 ? qsTr("Told two ways. Somebody looks and decides.") : job.open_count === 0 ? qsTr("Nothing stands open.") : qsTr("%1 open. Last out, first back.").arg(job.open_count)
        case "live": return job.link_good ? qsTr("What arrives on the line.") : qsTr("Nothing arrives on the line.")
        case "port": return portCheck.sentence !== "" ? portCheck.sentence : qsTr("Where does the unit’s line come in?")
        case "earlier": return qsTr("What arrived earlier in this job.")
        case "other": return screen.isolating ? qsTr("Other checks, and what each costs.") : qsTr("Another way on.")
        case "hands": return qsTr("The practice aircraft: look, and lay hands on.")
        case "note": return qsTr("A note for the journal.")
        case "journal": return qsTr("%1, %2.").arg(job.entries_text).arg(job.unsent_text)
        case "stages": return qsTr("The seven stages.")
        case "resume": return awayWords
        case "again": return qsTr("%1 of %2: is it still so?").arg(back.step + 1).arg(back.kept.length)
        }
        if (flexing) return flex.sentence
        return follows ? job.sentence : qsTr("Looking back. Work stands in %1.").arg(job.lists.rail.all[job.stage]?.title ?? "")
    }
    function go_on(again) {
        job.note(back.note(again))
        back.tell()
        wentOn()
    }
    // A function, since Qt 6.4 compiles a binding that picks among components into one that gives none.
    function page_of(what, pad, papers, lines, at) {
        switch (what) {
        case "open": return openPage
        case "live": return livePage
        case "port": return portPage
        case "earlier": return earlierPage
        case "other": return otherPage
        case "hands": return handsPage
        case "note": return notePage
        case "journal": return journalPage
        case "entry": return entryPage
        case "photo": return photoPage
        case "stages": return stagesPage
        case "resume": return resumePage
        case "again": return againPage
        }
        if (pad) return measurePage
        if (papers) return partPage
        if (lines) return linesPage
        return [writeUpPage, asFoundPage, makeReadyPage, isolatePage, putRightPage, provePage, closePage][at]
    }
    function side_keys() {
        if (sheet === "resume")
            return [{id: "go_on", icon: "", word: qsTr("Go on where I was"), waits: !back.looked, why: back.missing}]
        if (sheet === "again")
            return [{id: "not_so", icon: "", word: qsTr("Not so any more")}]
        if (sheet === "live")
            return [{id: "back", icon: "back", word: qsTr("Back")}, {id: "earlier", icon: "list", word: qsTr("Earlier")}]
        if (sheet === "earlier")
            return [{id: "live", icon: "back", word: qsTr("Back")}, {id: "csv", icon: "", word: qsTr("Save as CSV"), waits: !history.any, why: history.why_still}]
        // On small glass the strip and the record have no room for these two ways in.
        if (sheet === "open")
            return [{id: "back", icon: "back", word: qsTr("Back")}, {id: "journal", icon: "list", word: qsTr("Journal")}]
        if (sheet === "journal")
            return [{id: "back", icon: "back", word: qsTr("Back")}, {id: "live", icon: "display", word: qsTr("Live")}]
        if (sheet === "entry")
            return [{id: "journal", icon: "back", word: qsTr("Back")}]
        if (sheet === "port")
            return [{id: "back", icon: "back", word: qsTr("Back")}, {id: "check", icon: "", word: portCheck.busy ? qsTr("Listening") : qsTr("Check the port"), waits: portCheck.busy || draft.port.trim() === "", why: portCheck.busy ? qsTr("It listens for some seconds") : qsTr("Choose a port first")}]
        if (sheet !== "job" || !follows)
            return [{id: "back", icon: "back", word: qsTr("Back")}]
        if (flexing)
            return [{id: "freeze", icon: "freeze", word: live.frozen ? qsTr("Frozen") : qsTr("Freeze")}, {id: "off", icon: "back", word: qsTr("Hands off")}]
        if (job.closed)
            return [{id: "report", icon: "", word: qsTr("Write the report")}]
        const keys = []
        if (job.other_taken)
            keys.push({id: "leave", icon: "back", word: qsTr("Not this check")})
        if (job.prompt.kind === "swing_point")
            keys.push({id: "pad", icon: "", word: measuring ? qsTr("Plot") : qsTr("Type it")})
        else if (job.others_offered)
            keys.push({id: "other", icon: "list", word: screen.isolating ? qsTr("Other checks") : qsTr("Other ways")})
        if (job.prompt.verb === "link")
            keys.push({id: "port", icon: "gear", word: qsTr("Port")})
        if (job.practice)
            keys.push({id: "hands", icon: "display", word: qsTr("Aircraft")})
        else if (keys.length === 0 && job.lists.pictures.count > 0)
            keys.push({id: "photo", icon: "photo", word: qsTr("Photo")})
        keys.push({id: "note", icon: "note", word: qsTr("Note")})
        return keys.slice(0, 2)
    }

    strip: StateStrip {
        anchors.fill: parent
        job: screen.job
        settings: screen.settings
        form: screen.form
        onAsked: what => {
            if (what === "write-up") screen.looked(0)
            else if (what === "make-ready") screen.looked(2)
            else screen.shown(what)
        }
    }
    rail: Rail {
        anchors.fill: parent
        job: screen.job
        form: screen.form
        shown: screen.stage
        onPicked: stage => screen.looked(stage)
        onListed: screen.shown(screen.sheet === "stages" ? "job" : "stages")
    }
    record: Record {
        id: recordItem
        anchors.fill: parent
        form: screen.form
        entries: screen.job.lists.recent
        unsent: screen.job.unsent_text
        lastAt: (screen.newest?.at ?? "").slice(0, 5)
        lastText: screen.phone && screen.typing ? "" : screen.newest?.text ?? ""
        keys: screen.ample ? screen.side_keys() : []
        // On a phone they cost a row: left out only where the answer itself needs the room.
        wantKeys: screen.sheet !== "job" || !screen.follows || !(screen.typing || screen.flexing || screen.job.prompt.kind === "sign" || (screen.job.prompt.kind === "choose" && screen.job.lists.choices.count > 4))
        small: screen.fixing ? screen.job.fix.key_small : screen.sheet === "resume" ? (back.looked ? qsTr("Before you go on") : qsTr("Waits: %1").arg(back.missing)) : screen.sheet === "again" ? qsTr("%1 of %2").arg(back.step + 1).arg(back.kept.length) : screen.sheet === "note" ? (screen.noteSent !== "" ? qsTr("Waits: it is being written") : qsTr("Writes entry %1").arg(screen.job.entries + 1)) : screen.stopped ? qsTr("Waits: the cause above") : screen.elsewhere ? qsTr("Before you go on") : screen.job.closed ? qsTr("%1, safe here").arg(screen.job.entries_text) : screen.unread || screen.unended ? qsTr("Next: %1").arg(screen.job.key_large) : screen.job.key_small
        word: screen.fixing ? screen.job.fix.key_large : screen.sheet === "resume" ? qsTr("Look again from three steps back") : screen.sheet === "again" ? qsTr("Still so") : screen.sheet === "note" ? qsTr("Write the note") : screen.elsewhere ? qsTr("Look at what stands open") : screen.job.closed ? qsTr("Back to the jobs") : screen.unread || screen.unended ? qsTr("Read its cautions first") : screen.job.key_large
        ready: screen.fixing ? screen.job.fix.ready : screen.sheet === "resume" ? back.looked : screen.sheet === "again" ? true : screen.sheet === "note" ? screen.noteText.trim() !== "" && screen.noteSent === "" : (screen.job.key_ready || screen.job.closed || screen.unread || screen.unended || screen.elsewhere) && !screen.stopped
        hold: screen.fixing || !["note", "resume", "again"].includes(screen.sheet) && !screen.elsewhere && screen.job.prompt.hold && !screen.job.closed && !screen.unread && !screen.unended
        question: screen.sheet + " " + screen.asked
        onOpened: screen.shown("journal")
        onPressed: {
            if (screen.fixing) {
                screen.job.fix.press()
            } else if (screen.sheet === "resume") {
                back.look_again()
                screen.shown("again")
            } else if (screen.sheet === "again") {
                if (!back.next()) screen.go_on(true)
            } else if (screen.sheet === "note") {
                screen.noteSent = screen.noteText
                screen.job.note(screen.noteText)
            } else if (screen.elsewhere) {
                screen.shown("resume")
            } else if (screen.job.closed) {
                screen.shown("home")
            } else if (screen.unread) {
                screen.follows ? screen.shown("job") : screen.looked(screen.job.stage)
            } else if (screen.unended) {
                centre.read_on()
            } else {
                screen.job.press()
                if (screen.sheet !== "job")
                    screen.shown("job")
            }
        }
        onKeyed: id => screen.keyed(id)
    }
    function keyed(id) {
        if (id === "back") screen.follows ? screen.shown("job") : screen.looked(screen.job.stage)
        else if (id === "go_on") screen.go_on(false)
        else if (id === "not_so") {
            screen.noteText = back.note(false) + " " + qsTr("No longer so: %1").arg(back.kept[back.step].text)
            back.tell()
            screen.wentOn()
            screen.shown("note")
        }
        else if (id === "csv") screen.history.save()
        else if (id === "check") screen.portCheck.check()
        else if (id === "report") screen.reportAsked()
        else if (id === "freeze") screen.live.frozen = !screen.live.frozen
        else if (id === "off") screen.flex.mark_off()
        else if (id === "leave") screen.job.select_other("")
        else if (id === "pad") screen.measuring = !screen.measuring
        else screen.shown(id)
    }
    centre: Centre {
        id: centre
        anchors.fill: parent
        phone: screen.phone
        bannerKind: screen.bannerKind
        bannerHead: screen.bannerHead
        bannerSays: screen.bannerSays
        bannerSteps: screen.stopped ? screen.bannerSteps : []
        sentence: screen.typing ? "" : screen.headline()
        topic: [screen.job.prompt.id, screen.sheet, screen.stage, screen.measuring].join(" ")
        footHazards: foot.visible && prompt.visible && prompt.hazards ? prompt.y + prompt.hazardsEnd : 0
        pageHazards: screen.sheet === "job" && screen.follows ? loader.item?.hazardsEnd ?? 0 : 0
        page: Loader {
            id: loader
            objectName: "page"
            width: centre.inner
            asynchronous: false
            sourceComponent: screen.page_of(screen.stopped ? "open" : screen.sheet, screen.typing, screen.parting, screen.writing, screen.stage)
        }
        tail: Repeater {
            model: screen.ample ? [] : screen.side_keys()
            SecondaryKey {
                required property var modelData
                required property int index
                objectName: "side:" + modelData.id
                width: (centre.inner - 5 * Metrics.mm) / 2
                x: index * (width + 5 * Metrics.mm)
                word: modelData.word
                waits: modelData.waits === true
                why: modelData.why ?? ""
                onActed: screen.keyed(modelData.id)
            }
        }
        foot: Column {
            id: foot
            width: centre.inner
            visible: screen.sheet === "job" && !screen.stopped && (prompt.wanted || marks.wanted || cautions.wanted)
            spacing: 2 * Metrics.mm
            FlexKeys { id: marks; readonly property bool wanted: screen.flexing; width: parent.width; visible: wanted; flex: screen.flex; phone: screen.phone }
            PromptFoot { id: prompt; readonly property bool wanted: screen.follows && content && (!screen.flexing || screen.job.refused); width: parent.width; visible: wanted; job: screen.job; phone: screen.phone; portrait: screen.portrait; pad: screen.typing }
            Rule { heavy: true; width: parent.width; visible: cautions.wanted }
            Cautions { id: cautions; readonly property bool wanted: screen.stage === 0 && screen.job.lists.choices.count <= 3 && !screen.phone && !Metrics.big && screen.job.lists.cautions.count > 0; width: parent.width; visible: wanted; job: screen.job; phone: screen.phone }
        }
    }
    Component { id: writeUpPage; WriteUp { job: screen.job; phone: screen.phone; room: centre.room } }
    Component { id: asFoundPage; AsFound { job: screen.job; phone: screen.phone; room: centre.room } }
    Component { id: makeReadyPage; MakeReady { job: screen.job; phone: screen.phone; portrait: screen.portrait; room: centre.room } }
    Component { id: isolatePage; Isolate { job: screen.job; live: screen.live; flexTest: screen.flex; phone: screen.phone; portrait: screen.portrait; room: centre.room } }
    Component { id: putRightPage; PutRight { job: screen.job; phone: screen.phone; room: centre.room } }
    Component { id: provePage; Prove { job: screen.job; live: screen.live; phone: screen.phone; portrait: screen.portrait; room: centre.room } }
    Component { id: closePage; Close { job: screen.job; phone: screen.phone; room: centre.room } }
    Component { id: measurePage; Measure { job: screen.job; phone: screen.phone; portrait: screen.portrait; room: centre.room } }
    Component { id: partPage; PartForm { job: screen.job; phone: screen.phone; room: centre.room } }
    Component { id: linesPage; LinesForm { job: screen.job; phone: screen.phone; room: centre.room } }
    Component { id: openPage; OpenList { job: screen.job; phone: screen.phone } }
    Component { id: livePage; Live { job: screen.job; live: screen.live; phone: screen.phone; room: centre.room } }
    Component {
        id: portPage
        Column {
            spacing: 3.6 * Metrics.mm
            PortCheck { visible: screen.portCheck.done; width: parent.width; check: screen.portCheck; phone: screen.phone }
            PortList { width: parent.width; draft: screen.draft; phone: screen.phone; Component.onCompleted: draft.look() }
        }
    }
    Component { id: earlierPage; History { history: screen.history; phone: screen.phone; room: centre.room } }
    Component { id: otherPage; OtherChecks { job: screen.job; phone: screen.phone; room: centre.room; onTaken: screen.shown("job") } }
    Component { id: journalPage; Journal { job: screen.job; phone: screen.phone; onOpened: hash => { screen.job.open_entry(hash); screen.shown("entry") } } }
    Component { id: photoPage; PhotoSheet { job: screen.job; phone: screen.phone; onTaken: path => { screen.job.photo(screen.job.prompt.label, path) } } }
    Component { id: entryPage; EntrySheet { job: screen.job; phone: screen.phone; room: centre.room } }
    Component { id: handsPage; Hands { practice: screen.hands; phone: screen.phone; room: centre.room } }
    Component { id: notePage; NoteSheet { text: screen.noteText; refusal: screen.job.refusal; phone: screen.phone; onEdited: text => screen.noteText = text } }
    Component { id: stagesPage; StageList { job: screen.job; shown: screen.stage; onPicked: stage => screen.looked(stage) } }
    Component { id: againPage; StepAgain { returning: back; phone: screen.phone } }
    Component { id: resumePage; Resume { job: screen.job; meanwhile: screen.meanwhile; returning: back; phone: screen.phone; room: centre.room } }
}
