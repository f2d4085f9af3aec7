import QtQuick
import QtQuick.Layouts
import Discal

// No free tag is left on this phone.
ColumnLayout {
    id: root

    signal open(string page, string what)

    spacing: Theme.gap

    Item {
        Layout.fillHeight: true
        Layout.preferredHeight: 1
    }
    // A positioner: a layout of Qt 6.4 keeps the height that the words had before they were wrapped
    Column {
        id: words
        spacing: Theme.gap
        Layout.fillWidth: true

        Words {
            text: qsTr("No free tag on this phone")
            font.pixelSize: Theme.headSize
            font.weight: Font.ExtraBold
            width: words.width
            Accessible.role: Accessible.Heading
        }
        Words {
            text: qsTr("Take in the sheet that is in your hand: its first code, and how many.")
            width: words.width
        }
    }
    Key {
        tone: "main"
        text: qsTr("Take in a sheet")
        Layout.fillWidth: true
        onClicked: root.open("newsheet", "")
    }
    Key {
        text: qsTr("tags come from another phone")
        Layout.fillWidth: true
        onClicked: root.open("takerun", "")
    }
    Key {
        text: qsTr("already tagged")
        Layout.fillWidth: true
        onClicked: root.open("already", "")
    }
    Item {
        Layout.fillHeight: true
        Layout.maximumHeight: 60
    }
}
