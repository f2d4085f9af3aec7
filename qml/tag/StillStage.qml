import QtQuick
import QtQuick.Layouts
import Discal

// Another site, or hours have passed: what carries over is looked at once, before the next butterfly.
ColumnLayout {
    id: root

    required property TagPageModel tag
    readonly property bool isLarge: Theme.textScale > 1.3
    signal open(string page, string what)

    spacing: Theme.gap

    Item {
        visible: !root.isLarge
        Layout.fillHeight: true
        Layout.maximumHeight: 40
    }
    // A positioner: a layout of Qt 6.4 keeps the height that the words had before they were wrapped
    Column {
        id: words
        spacing: Theme.gap
        Layout.fillWidth: true

        Words {
            text: qsTr("Still %1?", "site, origin, hand").arg(root.tag.stillWhat)
            font.pixelSize: root.isLarge ? Theme.bodySize : Theme.headSize
            font.weight: Font.ExtraBold
            width: words.width
            Accessible.role: Accessible.Heading
        }
        Words {
            visible: !root.isLarge
            text: root.tag.stillWhy
            width: words.width
        }
    }
    Item {
        visible: !root.isLarge
        Layout.fillHeight: true
        Layout.maximumHeight: 80
    }
    Key {
        visible: root.tag.siteHere !== ""
        text: qsTr("No: %1", "a site").arg(root.tag.siteHere)
        tone: "main"
        Layout.fillWidth: true
        onClicked: root.tag.moveHere()
    }
    Key {
        text: qsTr("Yes, still so")
        tone: root.tag.siteHere === "" ? "main" : "plain"
        Layout.fillWidth: true
        onClicked: root.tag.still()
    }
    Key {
        text: qsTr("another site")
        Layout.fillWidth: true
        onClicked: root.open("sites", "")
    }
    // The keys come before what can be done without
    Words {
        visible: root.isLarge
        text: root.tag.stillWhy
        Layout.fillWidth: true
    }
    Item {
        Layout.fillHeight: true
        Layout.maximumHeight: 60
    }
}
