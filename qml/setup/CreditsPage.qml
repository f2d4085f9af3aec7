import QtQuick
import QtQuick.Layouts
import Discal

// What was made by others, in the words that their licences ask for.
PageColumn {
    id: root

    required property SettingsModel settings
    signal back

    PageHead {
        title: qsTr("Made by others")
        hasBack: true
        Layout.fillWidth: true
        onBack: root.back()
    }
    Words {
        text: root.settings.credits
        textFormat: Text.MarkdownText
        font.pixelSize: Theme.smallSize
        Layout.fillWidth: true
    }
    Item {
        Layout.fillHeight: true
    }
}
