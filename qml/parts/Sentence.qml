// The one sentence on top of the centre: what is so, then what to do.
import QtQuick
import Chockside.Theme
import Chockside.Parts

Text {
    property bool phone: false

    color: Palette.ink
    font.family: Type.words
    font.pixelSize: phone ? Math.min(Type.large_key, Type.sentence) : Type.sentence
    font.weight: Type.bold_weight
    font.letterSpacing: -0.012 * Type.sentence
    lineHeight: 1.1
    wrapMode: Text.Wrap
    textFormat: Text.PlainText
    Accessible.role: Accessible.Heading
    Accessible.name: text
}
