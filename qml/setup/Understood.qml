import QtQuick
import QtQuick.Layouts
import Discal

// What was understood, in the type of the tags, before it is kept; or what is still to be said.
ColumnLayout {
    id: root

    required property string what
    required property string count
    required property string advice

    spacing: 2

    Text {
        visible: root.what !== ""
        text: root.what
        font.family: Theme.codeFamily
        font.pixelSize: Theme.titleSize
        fontSizeMode: Text.HorizontalFit
        minimumPixelSize: 18
        font.weight: Font.ExtraBold
        color: Theme.ink
        Layout.fillWidth: true
        Accessible.role: Accessible.StaticText
        Accessible.name: root.what + ", " + root.count
    }
    Words {
        visible: root.count !== ""
        text: root.count
        Layout.fillWidth: true
        Accessible.ignored: true
    }
    Words {
        visible: root.advice !== ""
        text: root.advice
        font.pixelSize: Theme.smallSize
        color: Theme.quiet
        Layout.fillWidth: true
    }
}
