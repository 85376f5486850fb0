// Earlier readings of this job, out of its captures: moved through, held, searched both ways.
pragma ComponentBehavior: Bound
import QtQuick
import Chockside.Theme
import Chockside.Parts
import Chockside.Models

Column {
    id: page
    required property HistoryModel history
    property bool phone: false
    property real room: 0
    readonly property bool narrow: phone || Metrics.big
    readonly property var kinds: [{id: "invalid", word: qsTr("Not valid")}, {id: "missing", word: qsTr("Silent")}, {id: "above", word: qsTr("Above")}, {id: "below", word: qsTr("Below")}, {id: "changes", word: qsTr("Changes")}]

    spacing: 2.4 * Metrics.mm
    Component.onCompleted: history.set_open(true)
    Component.onDestruction: history.set_open(false)

    Item {
        width: parent.width
        height: Math.max(hold.height, said.height)
        Column {
            id: said
            width: parent.width - hold.width - 3 * Metrics.mm
            anchors.verticalCenter: parent.verticalCenter
            Row {
                width: parent.width
                spacing: 1.8 * Metrics.mm
                Mark { id: state; visible: name !== ""; name: page.history.state_mark; width: 4.3 * Metrics.mm; height: width; anchors.verticalCenter: parent.verticalCenter; Accessible.role: Accessible.Graphic; Accessible.name: word }
                Words { width: parent.width - (state.visible ? state.width + parent.spacing : 0); text: page.history.state_word; bold: true; wrapMode: Text.Wrap }
            }
            Figures { width: parent.width; text: page.history.span; wrapMode: Text.Wrap }
        }
        SecondaryKey { id: hold; objectName: "hold"; anchors.right: parent.right; width: 26 * Metrics.mm; icon: "freeze"; word: page.history.held ? qsTr("Frozen") : qsTr("Freeze"); chosen: page.history.held; waits: why !== ""; why: page.history.why_still; onActed: page.history.hold_or_follow() }
    }
    ReadingsPlot {
        id: plot
        objectName: "readings"
        width: parent.width
        height: Math.max(52 * Metrics.mm, Math.min(96 * Metrics.mm, page.room - 62 * Metrics.mm))
        feed: page.history
        text_px: Type.floor
        onWidthChanged: page.history.set_columns(span_width())
        Component.onCompleted: page.history.set_columns(span_width())
        Accessible.role: Accessible.Graphic
        Accessible.name: qsTr("Earlier readings, %1").arg(page.history.span)
        TapHandler { onTapped: point => plot.in_strip(point.position.y) ? page.history.go(plot.share_at(point.position.x)) : page.history.search_in(plot.lane_at(point.position.y)) }
        DragHandler {
            target: null
            yAxis.enabled: false
            property real had: 0
            onActiveChanged: had = 0
            onTranslationChanged: {
                page.history.drag((had - translation.x) / plot.span_width())
                had = translation.x
            }
        }
    }
    Grid {
        id: moves
        width: parent.width
        columns: page.narrow ? 3 : 5
        spacing: 2.4 * Metrics.mm
        readonly property real cell: (width - spacing * (columns - 1)) / columns
        SecondaryKey { objectName: "move:back"; width: moves.cell; icon: "left"; word: qsTr("Before"); waits: why !== ""; why: page.history.why_still; onActed: page.history.back() }
        SecondaryKey { objectName: "move:closer"; width: moves.cell; word: qsTr("Closer"); waits: why !== ""; why: page.history.why_still; onActed: page.history.closer() }
        SecondaryKey { objectName: "move:all"; width: moves.cell; word: qsTr("All"); waits: why !== ""; why: page.history.why_still; onActed: page.history.all() }
        SecondaryKey { objectName: "move:wider"; width: moves.cell; word: qsTr("Wider"); waits: why !== ""; why: page.history.why_still; onActed: page.history.wider() }
        SecondaryKey { objectName: "move:forth"; width: moves.cell; icon: "right"; word: qsTr("After"); waits: why !== ""; why: page.history.why_still; onActed: page.history.forth() }
    }
    Rule { width: parent.width; heavy: true }
    Words { width: parent.width; bold: true; text: page.history.searched_label === "" ? qsTr("Search") : qsTr("Search in %1: tap a trace for another").arg(page.history.searched_label) }
    Grid {
        id: kinds
        width: parent.width
        columns: page.narrow ? 3 : 5
        spacing: 2.4 * Metrics.mm
        readonly property real cell: (width - spacing * (columns - 1)) / columns
        Repeater {
            model: page.kinds
            SecondaryKey {
                required property var modelData
                objectName: "kind:" + modelData.id
                width: kinds.cell
                word: modelData.word
                chosen: page.history.kind === modelData.id
                onActed: page.history.kind = modelData.id
            }
        }
    }
    Grid {
        id: ways
        width: parent.width
        columns: limit.visible && !page.narrow ? 3 : 2
        spacing: 2.4 * Metrics.mm
        verticalItemAlignment: Grid.AlignBottom
        readonly property real cell: (width - spacing * (columns - 1)) / columns
        Field { id: limit; objectName: "field:limit"; visible: title !== ""; width: ways.cell; title: page.history.limit_title; text: page.history.limit; code: true; most: 16; onEdited: text => page.history.limit = text }
        Item { visible: limit.visible && page.narrow; width: ways.cell; height: 1 }
        SecondaryKey { objectName: "earlier"; width: ways.cell; icon: "left"; word: qsTr("Find before"); waits: why !== ""; why: page.history.missing; onActed: page.history.earlier() }
        SecondaryKey { objectName: "later"; width: ways.cell; icon: "right"; word: qsTr("Find after"); waits: why !== ""; why: page.history.missing; onActed: page.history.later() }
    }
    Row {
        visible: page.history.answer !== ""
        width: parent.width
        spacing: 1.8 * Metrics.mm
        Mark { id: mark; visible: name !== ""; name: page.history.answer_mark; width: 4.3 * Metrics.mm; height: width; Accessible.role: Accessible.Graphic; Accessible.name: word }
        Words { objectName: "answer"; width: parent.width - mark.width - parent.spacing; text: page.history.answer; bold: true; wrapMode: Text.Wrap }
    }
    Rule { width: parent.width }
    Words { width: parent.width; bold: true; text: qsTr("Signals, four at most") }
    Grid {
        id: list
        width: parent.width
        columns: page.narrow ? 2 : 4
        spacing: 2.4 * Metrics.mm
        readonly property real cell: (width - spacing * (columns - 1)) / columns
        Repeater {
            model: page.history.known
            SecondaryKey {
                required property string id
                required property string label_text
                required property string unit
                required property bool shown
                objectName: "signal:" + id
                width: list.cell
                word: unit === "" ? label_text : label_text + ", " + unit
                chosen: shown
                onActed: page.history.toggle(id)
            }
        }
    }
}
