pragma ComponentBehavior: Bound
import QtQuick
import QtQuick.Layouts
import Discal

// An offer that nobody looks at drifts from the sheet: every few tags the paper is read. Never answered by a yes.
ColumnLayout {
    id: root

    required property TagPageModel tag
    signal open(string page, string what)

    spacing: Theme.gap

    Item {
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
        text: qsTr("Look at the tag, not at the screen.")
        color: Theme.quiet
        font.pixelSize: Theme.smallSize
        Layout.fillWidth: true
    }
    Item {
        Layout.fillHeight: true
        Layout.maximumHeight: 80
    }
    // A positioner: a layout of Qt 6.4 may lay out what a Repeater has just taken away
    Column {
        id: rows
        spacing: Theme.gap
        Layout.fillWidth: true

        Repeater {
            model: root.tag.choices

            CodeKey {
                required property string modelData
                text: modelData
                tone: "soft"
                most: Theme.titleSize
                width: rows.width
                height: Math.max(Theme.keyHeight + 10, implicitHeight)
                onClicked: root.tag.answer(modelData)
            }
        }
    }
    Key {
        text: qsTr("another")
        Accessible.description: qsTr("pick from the sheet, or type the last digits")
        Layout.fillWidth: true
        onClicked: root.open("sheet", "check")
    }
    Item {
        Layout.fillHeight: true
    }
}
