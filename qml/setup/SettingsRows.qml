import QtQuick
import QtQuick.Layouts
import Discal

// How the app looks, sounds and fits the hand, on this phone.
ColumnLayout {
    id: root

    required property SettingsModel settings

    spacing: 0

    Words {
        text: qsTr("This phone in your hand")
        font.pixelSize: Theme.headSize
        font.weight: Font.ExtraBold
        Layout.fillWidth: true
        Layout.bottomMargin: Theme.gap
        Accessible.role: Accessible.Heading
    }
    ChoiceKeys {
        question: qsTr("Light")
        names: [qsTr("field", "bright, for the sun"), qsTr("night", "dark, for a roost"), qsTr("as the phone")]
        columns: Theme.textScale > 1.3 ? 1 : 3
        // qmllint disable
        current: ["field", "night", "system"].indexOf(root.settings.theme)
        // qmllint enable
        onChosen: which => root.settings.theme = ["field", "night", "system"][which]
    }
    ChoiceKeys {
        question: qsTr("Size of text, in percent")
        names: ["100", "130", "160", "200"]
        columns: Theme.textScale > 1.3 ? 2 : 4
        // qmllint disable
        current: [100, 130, 160, 200].indexOf(root.settings.textPercent)
        // qmllint enable
        Layout.topMargin: Theme.margin
        Layout.bottomMargin: Theme.gap
        onChosen: which => root.settings.textPercent = [100, 130, 160, 200][which]
    }
    SwitchRow {
        word: qsTr("Larger keys")
        hint: qsTr("for gloves and wet fingers")
        isOn: root.settings.large
        onClicked: root.settings.large = !isOn
    }
    SwitchRow {
        word: qsTr("Left hand")
        hint: qsTr("keys at the side change places")
        isOn: root.settings.leftHanded
        onClicked: root.settings.leftHanded = !isOn
    }
    SwitchRow {
        word: qsTr("Volume keys note the sex")
        hint: qsTr("up: the left one; down: the right one")
        isOn: root.settings.volumeKeys
        onClicked: root.settings.volumeKeys = !isOn
    }
    SwitchRow {
        word: qsTr("Keep photos")
        hint: qsTr("with codes that the camera read; each takes up to 64 KB")
        isOn: root.settings.keepPictures
        onClicked: root.settings.keepPictures = !isOn
    }
    SwitchRow {
        word: qsTr("Sound")
        isOn: root.settings.sound
        onClicked: root.settings.sound = !isOn
    }
    SwitchRow {
        word: qsTr("Vibration")
        isOn: root.settings.vibration
        onClicked: root.settings.vibration = !isOn
    }
    SwitchRow {
        word: qsTr("Read codes aloud")
        isOn: root.settings.speak
        onClicked: root.settings.speak = !isOn
    }
    SwitchRow {
        word: qsTr("Less motion")
        isOn: root.settings.reducedMotion
        onClicked: root.settings.reducedMotion = !isOn
    }
}
