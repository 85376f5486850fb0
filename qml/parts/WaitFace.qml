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
    Accessible.name: title + ", " + left
    WaitRing { anchors.fill: parent; fraction: root.fraction }
    Column {
        anchors.centerIn: parent
        Words { anchors.horizontalCenter: parent.horizontalCenter; text: root.title; bold: true; wrapMode: Text.NoWrap }
        Figures { anchors.horizontalCenter: parent.horizontalCenter; text: root.remaining; font.pixelSize: Math.round(9.4 * Metrics.mm) }
        Words { anchors.horizontalCenter: parent.horizontalCenter; text: qsTr("of %1").arg(root.total); wrapMode: Text.NoWrap }
    }
}
