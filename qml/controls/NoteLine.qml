import QtQuick
import QtQuick.Layouts
import Discal

// A remark beside its icon.
RowLayout {
    id: root

    required property string text
    property string glyph: ""
    property bool isStrong: false
    readonly property real size: Math.min(32, 22 * Theme.textScale)

    visible: text !== ""
    spacing: 8
    Layout.fillWidth: true

    Glyph {
        visible: root.glyph !== ""
        name: root.glyph
        ink: root.isStrong ? Theme.ink : Theme.quiet
        Layout.preferredWidth: root.size
        Layout.preferredHeight: root.size
        Layout.alignment: Qt.AlignTop
        // In the middle of the first line
        Layout.topMargin: Math.max(0, (words.font.pixelSize * 1.2 - root.size) / 2)
    }
    Words {
        id: words
        text: root.text
        font.pixelSize: Theme.smallSize
        font.weight: root.isStrong ? Font.DemiBold : Font.Normal
        color: root.isStrong ? Theme.ink : Theme.quiet
        Layout.fillWidth: true
    }
}
