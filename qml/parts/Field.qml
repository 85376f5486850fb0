// A line to write in, with its name above. Scrolls itself into view by the page that holds it.
pragma ComponentBehavior: Bound
import QtQuick
import Chockside.Theme
import Chockside.Parts

Column {
    id: field
    property string title
    property string text
    property bool code: false
    property int most: 120
    property bool large_letters: false
    property bool secret: false
    signal edited(string text)

    spacing: 0.8 * Metrics.mm
    Words { text: field.title; second: true; width: parent.width }
    Rectangle {
        width: parent.width
        height: Math.max(11.8 * Metrics.mm, Type.row * 2)
        color: Palette.panel
        border { color: input.activeFocus ? Palette.recordInk : Palette.ink; width: Math.round((input.activeFocus ? 0.9 : 0.7) * Metrics.mm) }
        TextInput {
            id: input
            anchors { fill: parent; leftMargin: 2 * Metrics.mm; rightMargin: 2 * Metrics.mm }
            verticalAlignment: TextInput.AlignVCenter
            color: Palette.ink
            selectionColor: Palette.record
            selectedTextColor: Palette.onRecord
            font.family: field.code ? Type.code : Type.words
            font.pixelSize: Type.row
            font.weight: field.code ? Font.Normal : Type.text_weight
            clip: true
            activeFocusOnTab: true
            maximumLength: field.most
            echoMode: field.secret ? TextInput.Password : TextInput.Normal
            inputMethodHints: field.secret ? Qt.ImhDigitsOnly | Qt.ImhSensitiveData | Qt.ImhNoPredictiveText : field.large_letters ? Qt.ImhUppercaseOnly | Qt.ImhNoPredictiveText : Qt.ImhNoPredictiveText
            text: field.text
            onTextEdited: field.edited(text)
            onActiveFocusChanged: if (!activeFocus) cursorPosition = 0 // a long entry is read from its beginning
            Accessible.role: Accessible.EditableText
            Accessible.name: field.title
        }
    }
    // Its name is part of it: a gloved finger may fall there.
    TapHandler { onTapped: input.forceActiveFocus() }
}
