import QtQuick
import Discal

// A QR code, dark on light by day and dark on amber by night: whole pixels a square, with the quiet zone it needs.
Item {
    id: root

    required property string source
    required property string words

    implicitHeight: Math.min(width, 400)
    implicitWidth: 328
    Accessible.role: Accessible.Graphic
    Accessible.name: words

    Rectangle {
        readonly property real side: Math.min(root.width, root.height)

        anchors.centerIn: parent
        width: side
        height: side
        color: Theme.night ? Theme.ink : Theme.paper

        Image {
            readonly property real squares: Math.max(1, implicitWidth) + 8
            readonly property real square: Math.max(1, Math.floor(parent.side * Screen.devicePixelRatio / squares))
                                           / Screen.devicePixelRatio

            source: root.source
            smooth: false
            cache: false
            anchors.centerIn: parent
            width: implicitWidth * square
            height: implicitHeight * square
        }
    }
}
