import QtQuick
import Discal

// Where we are and how many are here, or when it was written and that it is saved.
Item {
    id: root

    required property string status
    required property string count

    implicitHeight: Math.max(said.height, counted.height)

    Words {
        id: said
        text: root.status
        font.pixelSize: Theme.smallSize
        color: Theme.quiet
        anchors.left: parent.left
        anchors.right: counted.left
        anchors.rightMargin: Theme.gap
    }
    Words {
        id: counted
        text: root.count
        font.pixelSize: Theme.smallSize
        font.weight: Font.DemiBold
        color: Theme.quiet
        wrapMode: Text.NoWrap
        anchors.right: parent.right
    }
}
