import QtQuick
import Discal

// Opens the camera's view: an icon over its word.
Key {
    id: root

    text: qsTr("camera", "short, under an icon")
    leftPadding: 4
    rightPadding: 4
    implicitWidth: Theme.keyHeight + 8
    implicitHeight: Theme.keyHeight
    Accessible.description: qsTr("reads the code by the camera")
    contentItem: Item {
        Column {
            id: face
            width: parent.width
            spacing: 2
            anchors.verticalCenter: parent.verticalCenter

            Glyph {
                name: "camera"
                ink: root.writing
                width: 28
                height: 28
                anchors.horizontalCenter: parent.horizontalCenter
            }
            FitWords {
                text: root.text
                size: Math.min(Theme.smallSize, 16)
                color: root.writing
                horizontalAlignment: Text.AlignHCenter
                width: face.width
                Accessible.ignored: true
            }
        }
    }
}
