pragma ComponentBehavior: Bound
import QtQuick
import QtQuick.Layouts
import Discal

// An offer that nobody looks at drifts from the sheet: every few tags the paper is read. Never answered by a yes.
ColumnLayout {
    id: root

    required property TagPageModel tag
    readonly property bool isLarge: Theme.textScale > 1.3
    signal open(string page, string what)

    spacing: Theme.low ? 8 : Theme.gap

    Item {
        visible: !Theme.low && !root.isLarge
        Layout.fillHeight: true
        Layout.maximumHeight: 40
    }
    Words {
        text: root.tag.isAskedAgain ? qsTr("Look at the tag once more. What does it say?")
                                    : qsTr("What does the next tag say?")
        font.pixelSize: Theme.headSize
        font.weight: Font.ExtraBold
        Layout.fillWidth: true
        Accessible.role: Accessible.Heading
    }
    Words {
        id: advice
        visible: !root.isLarge
        text: qsTr("Look at the tag, not at the screen.")
        color: Theme.quiet
        font.pixelSize: Theme.smallSize
        Layout.fillWidth: true
    }
    Item {
        visible: !Theme.low && !root.isLarge
        Layout.fillHeight: true
        Layout.maximumHeight: 80
    }
    // A positioner: a layout of Qt 6.4 may lay out what a Repeater has just taken away
    Column {
        id: rows
        spacing: root.spacing
        Layout.fillWidth: true

        Repeater {
            model: root.tag.choices

            CodeKey {
                required property string modelData
                text: modelData
                tone: "soft"
                most: root.isLarge ? Theme.headSize : Theme.titleSize
                width: rows.width
                height: Math.max(Theme.keyHeight + (Theme.low ? 0 : 10), implicitHeight)
                onClicked: root.tag.answer(modelData)
            }
        }
    }
    RowLayout {
        spacing: Theme.gap
        layoutDirection: Theme.row
        Layout.fillWidth: true

        Key {
            text: qsTr("another")
            Accessible.description: qsTr("pick from the sheet, or type the last digits")
            Layout.fillWidth: true
            onClicked: root.open("sheet", "check")
        }
        CameraKey {
            onClicked: root.open("camera", "check")
        }
    }
    // The keys come before what can be done without
    Words {
        visible: root.isLarge
        text: advice.text
        color: Theme.quiet
        font.pixelSize: Theme.smallSize
        Layout.fillWidth: true
    }
    Item {
        Layout.fillHeight: true
    }
}
