// The wait that runs, as a ring with its figure.
import QtQuick
import Chockside.Theme
import Chockside.Parts

Item {
    id: root
    property real fraction: 0
    property string title
    property string remaining
    property string total

    implicitWidth: 36 * Metrics.mm
    implicitHeight: implicitWidth
    Accessible.role: Accessible.ProgressBar
    Accessible.name: qsTr("%1, %2 left of %3").arg(title).arg(remaining).arg(total)
    WaitRing { anchors.fill: parent; fraction: root.fraction }
    Column {
        anchors.centerIn: parent
        width: root.width * 0.7
        Words { width: parent.width; horizontalAlignment: Text.AlignHCenter; text: root.title; bold: true; fontSizeMode: Text.HorizontalFit; minimumPixelSize: Math.round(3.3 * Metrics.mm); wrapMode: Text.NoWrap }
        Figures { anchors.horizontalCenter: parent.horizontalCenter; text: root.remaining; font.pixelSize: Math.round(9.4 * Metrics.mm) }
        Words { width: parent.width; horizontalAlignment: Text.AlignHCenter; text: qsTr("of %1").arg(root.total); fontSizeMode: Text.HorizontalFit; minimumPixelSize: Math.round(3.3 * Metrics.mm); wrapMode: Text.NoWrap }
    }
}
