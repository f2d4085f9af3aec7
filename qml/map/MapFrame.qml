import QtQuick
import QtQuick.Layouts
import Discal

// A page that is mainly a map: what stands above and below it, and the map in all the room between. Nothing lies on it.
Item {
    id: root

    required property MapPageModel map
    property bool hasCross: false
    property alias head: headBlock.content
    property alias keys: keyColumn.data

    // The receiver may find its place only while the page is open
    Timer {
        interval: 1000
        repeat: true
        running: true
        onTriggered: root.map.lookAgain()
    }
    PageBlock {
        id: headBlock
        anchors.top: parent.top
    }
    Rectangle {
        color: Theme.line
        width: root.width
        height: 2
        anchors.bottom: ground.top
    }
    MapGround {
        id: ground
        map: root.map
        hasCross: root.hasCross
        anchors.top: headBlock.bottom
        anchors.topMargin: 2 - Theme.gap / 2
        anchors.bottom: keyBlock.top
        anchors.left: parent.left
        anchors.right: parent.right
    }
    Rectangle {
        color: Theme.line
        width: root.width
        height: 2
        anchors.top: ground.bottom
    }
    Item {
        id: keyBlock
        width: Math.min(root.width, Theme.widest + 2 * Theme.margin)
        height: keyColumn.implicitHeight + Theme.gap + Theme.margin + 4
        anchors.bottom: parent.bottom
        anchors.horizontalCenter: parent.horizontalCenter

        ColumnLayout {
            id: keyColumn
            spacing: Theme.gap
            x: Theme.margin
            y: Theme.gap
            width: keyBlock.width - 2 * Theme.margin
        }
    }
}
