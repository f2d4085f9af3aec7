import QtQuick
import QtQuick.Layouts
import Discal

// Farther and nearer, the nearer one under the thumb; before them whatever else the page can show.
GridLayout {
    id: root

    required property MapPageModel map
    default property alias before: others.data

    columns: Theme.textScale > 1.3 ? 1 : 2
    layoutDirection: Theme.row
    columnSpacing: Theme.gap
    rowSpacing: Theme.gap

    RowLayout {
        id: others
        visible: children.length > 0
        layoutDirection: Theme.row
        spacing: Theme.gap
        Layout.fillWidth: true
    }
    RowLayout {
        layoutDirection: Theme.row
        spacing: Theme.gap
        Layout.fillWidth: root.columns === 1 || others.children.length === 0

        Key {
            text: "−"
            size: Theme.headSize
            enabled: root.map.canZoomOut
            Accessible.name: qsTr("show more land")
            Layout.preferredWidth: 64
            Layout.fillWidth: true
            Layout.fillHeight: true
            onClicked: root.map.zoomOut()
        }
        Key {
            text: "+"
            size: Theme.headSize
            enabled: root.map.canZoomIn
            Accessible.name: qsTr("come nearer")
            Layout.preferredWidth: 64
            Layout.fillWidth: true
            Layout.fillHeight: true
            onClicked: root.map.zoomIn()
        }
    }
}
