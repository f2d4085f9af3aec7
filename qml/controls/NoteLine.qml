import QtQuick
import QtQuick.Layouts
import Discal

// A remark beside its icon.
RowLayout {
    id: root

    required property string text
    property string glyph: ""
    property bool isStrong: false

    visible: text !== ""
    spacing: 8
    Layout.fillWidth: true

    Glyph {
        visible: root.glyph !== ""
        name: root.glyph
        ink: root.isStrong ? Theme.ink : Theme.quiet
        Layout.preferredWidth: 22
        Layout.preferredHeight: 22
        Layout.alignment: Qt.AlignTop
    }
    Words {
        text: root.text
        font.pixelSize: Theme.smallSize
        font.weight: root.isStrong ? Font.DemiBold : Font.Normal
        color: root.isStrong ? Theme.ink : Theme.quiet
        Layout.fillWidth: true
    }
}
