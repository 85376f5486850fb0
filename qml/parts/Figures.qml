// Numbers: B612, whose ten digits have one width.
import QtQuick
import Chockside.Theme
import Chockside.Parts

Text {
    property bool second: false

    color: second ? Palette.ink2 : Palette.ink
    font.family: Type.figures
    font.pixelSize: Type.floor
    font.weight: Type.number_weight
    textFormat: Text.PlainText
    Accessible.role: Accessible.StaticText
    Accessible.name: text
}
