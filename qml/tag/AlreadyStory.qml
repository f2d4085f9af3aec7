import QtQuick
import QtQuick.Layouts
import Discal

// It is written down; this is what we know of it.
ColumnLayout {
    id: root

    required property string code
    required property string story
    signal back
    signal measure

    spacing: Theme.gap

    Item {
        Layout.fillHeight: true
        Layout.preferredHeight: 1
    }
    // A positioner: a layout of Qt 6.4 keeps the height that words had before they were wrapped
    Item {
        implicitHeight: told.implicitHeight
        Layout.fillWidth: true

        Column {
            id: told
            spacing: Theme.gap
            width: parent.width

            Text {
                visible: root.code !== ""
                text: root.code
                font.family: Theme.codeFamily
                font.pixelSize: Theme.titleSize
                font.weight: Font.ExtraBold
                color: Theme.ink
                width: told.width
                Accessible.role: Accessible.Heading
                Accessible.name: text
            }
            Words {
                text: root.story
                font.pixelSize: Theme.headSize
                font.weight: Font.DemiBold
                width: told.width
            }
            Words {
                text: qsTr("It is saved. Let it go on its way.")
                color: Theme.quiet
                width: told.width
            }
        }
    }
    Item {
        Layout.fillHeight: true
        Layout.preferredHeight: 1
    }
    Key {
        text: qsTr("measure, or add a note")
        Layout.fillWidth: true
        onClicked: root.measure()
    }
    Key {
        text: qsTr("Back to tagging")
        tone: "main"
        Layout.fillWidth: true
        onClicked: root.back()
    }
}
