import QtQuick
import Discal

// One of the two large targets, with both views of the wings: open from above, and closed as she holds it.
Key {
    id: root

    required property bool male
    readonly property bool showsBoth: height >= 230

    tone: "soft"
    topPadding: 12
    bottomPadding: 8
    text: male ? qsTr("male") : qsTr("female")
    Accessible.description: male ? qsTr("a dark scent spot on each hindwing, thin veins")
                                 : qsTr("no spot, broad veins")
    contentItem: Item {
        WingsOpen {
            male: root.male
            ink: Theme.ink
            fill: Theme.paper
            width: parent.width
            height: root.showsBoth ? (parent.height - word.height) * 0.5 : parent.height - word.height - 4
        }
        WingsClosed {
            visible: root.showsBoth
            male: root.male
            ink: Theme.ink
            fill: Theme.paper
            width: parent.width
            y: (parent.height - word.height) * 0.5 + 2
            height: (parent.height - word.height) * 0.5 - 6
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
