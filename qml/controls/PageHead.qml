import QtQuick
import Discal

// Title of a page, what it holds in a line, and the way back where it was opened from another. Placed by anchors: words
// that wrap in a layout within a layout go round and round in Qt 6.4.
Item {
    id: root

    required property string title
    property string note: ""
    property bool hasBack: false
    // With large text the title has lines of its own
    readonly property bool isBeside: hasBack && Theme.textScale <= 1.3
    signal back

    implicitHeight: isBeside ? Math.max(backKey.height, words.height)
                             : words.height + (hasBack ? backKey.height + Theme.gap : 0)

    Key {
        id: backKey
        visible: root.hasBack
        text: qsTr("back", "short, on a key")
        glyph: "back"
        anchors.left: parent.left
        onClicked: root.back()
    }
    Column {
        id: words
        spacing: 2
        anchors.left: root.isBeside ? backKey.right : root.left
        anchors.leftMargin: root.isBeside ? Theme.gap : 0
        anchors.right: root.right
        y: root.isBeside ? Math.max(0, (backKey.height - height) / 2) : root.height - height

        FitWords {
            text: root.title
            size: Theme.headSize
            weight: Font.ExtraBold
            width: words.width
            Accessible.role: Accessible.Heading
        }
        Words {
            visible: root.note !== ""
            text: root.note
            font.pixelSize: Theme.smallSize
            color: Theme.quiet
            width: words.width
        }
    }
}
