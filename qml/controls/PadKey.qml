import QtQuick
import QtQuick.Layouts
import Discal

// One key of a pad: a glyph in the type of the tags, or a short word.
Key {
    id: root

    property bool isWord: false
    // Keys that are hit in series, each where it always is
    readonly property bool isPadKey: true

    implicitWidth: 60

    leftPadding: 4
    rightPadding: 4
    Layout.fillWidth: true
    Layout.preferredWidth: 1
    Layout.minimumWidth: 60
    Layout.preferredHeight: Theme.keyHeight
    contentItem: Text {
        text: root.text
        font.family: root.isWord ? Theme.family : Theme.codeFamily
        font.pixelSize: root.isWord ? Math.min(Theme.bodySize, root.width / 4) : Math.min(Theme.headSize, 40)
        font.weight: root.isWord ? Font.DemiBold : Font.ExtraBold
        color: root.writing
        horizontalAlignment: Text.AlignHCenter
        verticalAlignment: Text.AlignVCenter
        Accessible.ignored: true
    }
}
