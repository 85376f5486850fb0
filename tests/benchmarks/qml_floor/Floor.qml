import QtQuick
import QtQuick.Controls.Basic
import QtQuick.Layouts

ApplicationWindow {
    width: 1280
    height: 800
    visible: true

    header: ToolBar {
        RowLayout {
            anchors.fill: parent
            ToolButton { text: "Jobs" }
            Label { text: "Floor"; Layout.fillWidth: true }
            ToolButton { text: "Settings" }
        }
    }

    RowLayout {
        anchors.fill: parent
        anchors.margins: 12
        spacing: 12

        ListView {
            Layout.fillWidth: true
            Layout.fillHeight: true
            clip: true
            model: 200
            delegate: ItemDelegate {
                required property int index
                width: ListView.view.width
                text: "Row " + index
            }
        }

        ColumnLayout {
            Layout.preferredWidth: 420
            TextField { placeholderText: "Registration"; Layout.fillWidth: true }
            ComboBox { model: ["one", "two", "three"]; Layout.fillWidth: true }
            ProgressBar { value: 0.6; Layout.fillWidth: true }
            RowLayout {
                Button { text: "Open" }
                Button { text: "Cancel" }
            }
            Item { Layout.fillHeight: true }
        }
    }
}
