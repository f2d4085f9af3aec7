import QtQuick
import Discal

// Where we are and how many are here, or when it was written and that it is saved.
Item {
    id: root

    required property string status
    required property string count
    // Before the words; mostly none
    property string glyph: ""

    implicitHeight: Math.max(said.height, counted.height)

    Glyph {
        id: sign
        visible: root.glyph !== ""
        name: root.glyph
        ink: Theme.quiet
        width: visible ? Math.min(32, 22 * Theme.textScale) : 0
        height: width
        // In the middle of the first line
        y: Math.max(0, (said.font.pixelSize * 1.2 - height) / 2)
        anchors.left: parent.left
    }
    FitWords {
        id: said
        text: root.status
        size: Theme.smallSize
        weight: Font.Normal
        color: Theme.quiet
        anchors.left: sign.right
        anchors.leftMargin: sign.visible ? 8 : 0
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
