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
    Placed {
        Column {
            id: rows
            width: parent.width
            spacing: Theme.gap

            Repeater {
                model: root.tag.choices

                Key {
                    width: rows.width
                    id: choice
                    required property string modelData
                    text: modelData
                    tone: "soft"
                    height: Math.max(Theme.keyHeight + 10, code.implicitHeight + 10)
                    onClicked: root.tag.answer(modelData)
                    contentItem: Item {
                        Text {
                            id: code
                            text: choice.modelData
                            font.family: Theme.codeFamily
                            font.pixelSize: Theme.titleSize
                            font.weight: Font.ExtraBold
                            color: Theme.ink
                            anchors.centerIn: parent
                            Accessible.ignored: true
                        }
                    }
                }
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
