import QtQuick
import QtQuick.Layouts
import Discal

// What was done last, and the way back.
RowLayout {
    id: root

    required property string words
    required property bool canUndo
    signal undo

    spacing: Theme.gap

    Words {
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
