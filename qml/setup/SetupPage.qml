import QtQuick
import QtQuick.Layouts
import Discal

// What this station and this phone are: a ruled list, each row with its value. Nothing here is needed to begin.
PageColumn {
    id: root

    required property SetupPageModel setup
    required property HeldPageModel held
    required property PeopleModel people
    required property SitesModel sites
    required property SheetsModel sheets
    required property SettingsModel settings
    required property BoundariesModel boundaries
    signal open(string page, string what)

    spacing: 0

    PageHead {
        title: qsTr("Set up")
        note: root.sheets.belief
        Layout.fillWidth: true
        Layout.bottomMargin: Theme.gap
    }
    NoteLine {
        visible: root.setup.permitPast !== ""
        text: qsTr("%1 Local rules say what may be done now.").arg(root.setup.permitPast)
        glyph: "triangle"
        isStrong: true
        Layout.bottomMargin: Theme.gap
    }
    ChoiceRow {
        word: qsTr("Sheets of tags")
        value: root.sheets.summary
        onClicked: root.open("sheets", "")
    }
    ChoiceRow {
        word: qsTr("Who writes")
        value: root.people.recorder === "" ? qsTr("not said") : root.people.recorder
        onClicked: root.open("people", "recorder")
    }
    ChoiceRow {
        word: qsTr("Site")
        value: root.sites.currentName === "" ? qsTr("none", "no site") : root.sites.currentName
        onClicked: root.open("sites", "")
    }
    ChoiceRow {
        word: qsTr("Cage")
        value: root.held.cageInUse === "" ? qsTr("without a name", "a cage") : root.held.cageInUse
        onClicked: root.open("cage", "")
    }
    ChoiceRow {
        word: qsTr("Station")
        value: root.setup.station === "" ? qsTr("not said") : root.setup.station
        onClicked: root.open("station", "")
    }
    ChoiceRow {
        word: qsTr("Permit")
        value: root.setup.permit === "" ? qsTr("not said") : root.setup.permit
        onClicked: root.open("station", "")
    }
    ChoiceRow {
        word: qsTr("This phone")
        value: root.setup.deviceName
        onClicked: root.open("phone", "")
    }
    SettingsRows {
        settings: root.settings
        Layout.fillWidth: true
        Layout.topMargin: Theme.margin * 2
    }
    ChoiceRow {
        word: qsTr("Other countries’ districts")
        hint: qsTr("for the names of places")
        value: root.boundaries.summary
        Layout.topMargin: Theme.margin * 2
        onClicked: root.open("boundaries", "")
    }
    ChoiceRow {
        word: qsTr("Made by others")
        hint: qsTr("place names, letters: whose they are")
        onClicked: root.open("credits", "")
    }
    Item {
        Layout.fillHeight: true
    }
}
