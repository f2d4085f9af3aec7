import QtQuick
import QtQuick.Layouts
import Discal

// What was done last, and the way back.
RowLayout {
    id: root

    required property string words
    required property bool canUndo
    // The one before is still in hand: a tap brings it back
    property bool isOpen: false
    signal undo
    signal takeUp

    spacing: Theme.gap
    layoutDirection: Theme.row

    Key {
        visible: root.isOpen
        text: root.words
        size: Theme.smallSize
        lines: Theme.textScale > 1.3 ? 6 : 3
        Accessible.description: qsTr("to say what became of it")
        Layout.fillWidth: true
        onClicked: root.takeUp()
    }
    Words {
        visible: !root.isOpen
        text: root.words
        font.pixelSize: Theme.smallSize
        font.weight: Font.DemiBold
        color: Theme.quiet
        maximumLineCount: Theme.textScale > 1.3 ? 6 : 3
        elide: Text.ElideRight
        Layout.fillWidth: true
        Accessible.role: Accessible.StaticText
    }
    Key {
        visible: root.canUndo
        text: qsTr("undo")
        glyph: "undo"
        size: Theme.smallSize
        onClicked: root.undo()
    }
}
