import QtQuick
import QtQuick.Templates as T
import Discal

// The line that says where we are; a tap shows it on the map.
T.AbstractButton {
    id: root

    required property string status
    required property string count

    text: status
    implicitHeight: Math.max(60, line.height)
    Accessible.role: Accessible.Button
    Accessible.name: qsTr("map: %1", "where we are").arg(status)
    Accessible.description: count

    background: Rectangle {
        radius: Theme.radius
        color: root.down ? Theme.soft : "transparent"
        border.width: root.visualFocus ? Theme.outline + 1.5 : 0
        border.color: Theme.aster
    }
    contentItem: Item {
        StatusLine {
            id: line
            status: root.status
            count: root.count
            glyph: "map"
            width: parent.width
            anchors.verticalCenter: parent.verticalCenter
        }
    }
}
