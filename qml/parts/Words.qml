// Running text: Inter at the floor size, never smaller.
import QtQuick
import Chockside.Theme
import Chockside.Parts

Text {
    property bool bold: false
    property bool second: false

    color: second ? Palette.ink2 : Palette.ink
    font.family: Type.words
    font.pixelSize: Type.floor
    font.weight: bold ? Type.bold_weight : Type.text_weight
    textFormat: Text.PlainText
    wrapMode: Text.Wrap
    lineHeight: 1.04
    Accessible.role: Accessible.StaticText
    Accessible.name: text
}
