import QtQuick
import QtQuick.Layouts
import Discal

// One of the two large targets: caught in the meadow, or come out of its chrysalis here.
Key {
    id: root

    required property bool isReared

    tone: "soft"
    topPadding: 12
    bottomPadding: 12
    text: isReared ? qsTr("reared") : qsTr("wild")
    Accessible.description: isReared ? qsTr("came out here; it goes into the cage") : qsTr("netted; it is let go at once")
    Layout.fillWidth: true
    Layout.fillHeight: true
    Layout.preferredWidth: 1
    contentItem: Item {
        OriginIcon {
            reared: root.isReared
            ink: Theme.ink
            width: 72
            height: 72
            anchors.horizontalCenter: parent.horizontalCenter
            y: (parent.height - word.height - height) / 2
        }
        Text {
            id: word
            text: root.text
            font.family: Theme.family
            font.pixelSize: Math.min(Theme.headSize, root.width / 5)
            font.weight: Font.ExtraBold
            color: Theme.ink
            anchors.bottom: parent.bottom
            anchors.horizontalCenter: parent.horizontalCenter
            Accessible.ignored: true
        }
    }
}
