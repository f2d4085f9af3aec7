pragma ComponentBehavior: Bound
import QtQuick
import QtQuick.Templates as T
import Discal
import Discal.Drawings

// What the camera sees now, with the mark to aim by: dark and light, so that it is seen over anything. A tap brings into
// focus what is there.
T.AbstractButton {
    id: root

    required property CameraPageModel camera
    property bool isRound: true

    text: qsTr("view of the camera")
    Accessible.role: Accessible.Button
    Accessible.name: text
    Accessible.description: qsTr("a tap brings that place into focus")
    onClicked: root.camera.focusOn(root.pressX / root.width, root.pressY / root.height)

    component Mark: Rectangle {
        color: "transparent"
        radius: root.isRound ? width / 2 : Theme.radius
        anchors.centerIn: parent
    }

    background: Rectangle {
        color: Theme.soft
        border.width: Theme.outline
        border.color: Theme.line
    }
    contentItem: Item {
        FrameView {
            anchors.fill: parent
            anchors.margins: Theme.outline
            isAmber: Theme.night
            // qmllint disable
            picture: root.camera.picture
            // qmllint enable
        }
        Mark {
            width: Math.min(root.width, root.height) * (root.isRound ? 0.66 : 0.8)
            height: width
            border.width: 8
            border.color: Theme.night ? Theme.paper : Theme.ink

            Mark {
                width: parent.width - 5
                height: width
                border.width: 3
                border.color: Theme.night ? Theme.ink : Theme.paper
            }
        }
    }
}
