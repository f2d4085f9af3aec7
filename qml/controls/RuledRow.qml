import QtQuick
import QtQuick.Templates as T
import Discal

// A row of a list, ruled like a field notebook; the whole row is the target. Its content is laid out by whoever uses it.
T.AbstractButton {
    id: root

    default property alias row: holder.data
    readonly property bool isRow: true
    // What is told of it stands beside the list
    property bool isChosen: false

    topPadding: 8
    bottomPadding: 8
    implicitHeight: Math.max(Theme.rowHeight, holder.childrenRect.height + topPadding + bottomPadding)
    Accessible.role: Accessible.Button
    Accessible.name: text
    Accessible.selected: isChosen

    background: Rectangle {
        color: root.down || root.isChosen ? Theme.soft : Theme.paper

        Rectangle {
            width: parent.width
            height: 2
            anchors.bottom: parent.bottom
            color: Theme.line
        }
        Rectangle {
            visible: root.visualFocus
            anchors.fill: parent
            color: "transparent"
            border.width: Theme.outline + 1.5
            border.color: Theme.aster
        }
    }
    contentItem: Item {
        id: holder
    }
}
