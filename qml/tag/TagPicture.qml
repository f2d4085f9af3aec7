import QtQuick
import Discal
import Discal.Drawings

// The tag as the camera saw it, upright, in a frame.
Rectangle {
    id: root

    required property var picture
    property string name: qsTr("picture of the tag")

    implicitWidth: 96
    implicitHeight: 96
    color: Theme.soft
    border.width: Theme.outline
    border.color: Theme.line
    Accessible.role: Accessible.Graphic
    Accessible.name: name

    FrameView {
        anchors.fill: parent
        anchors.margins: Theme.outline
        isAmber: Theme.night
        // qmllint disable
        picture: root.picture
        // qmllint enable
    }
}
