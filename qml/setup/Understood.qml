import QtQuick
import QtQuick.Layouts
import Discal

// What was understood, in the type of the tags, before it is kept; or what is still to be said.
GridLayout {
    id: root

    required property string what
    required property string count
    required property string advice

    // In a low window both stand in one line
    columns: Theme.low && Theme.textScale <= 1.3 ? 2 : 1
    columnSpacing: Theme.gap
    rowSpacing: 2

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
        Layout.fillWidth: root.columns === 1
        Accessible.ignored: true
    }
    Words {
        visible: root.advice !== ""
        text: root.advice
        font.pixelSize: Theme.smallSize
        color: Theme.quiet
        Layout.fillWidth: true
        Layout.columnSpan: root.columns
    }
}
