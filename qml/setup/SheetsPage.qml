pragma ComponentBehavior: Bound
import QtQuick
import QtQuick.Layouts
import Discal

// All sheets that this phone knows of, with the fate of each tag at a glance.
PageColumn {
    id: root

    required property SheetsModel sheets
    required property SchemesModel schemes
    signal back
    signal open(string page, string what)

    spacing: 0
    Component.onCompleted: {
        root.sheets.look();
        root.schemes.look();
    }

    PageHead {
        title: qsTr("Sheets of tags")
        note: root.sheets.belief
        hasBack: true
        Layout.fillWidth: true
        Layout.bottomMargin: Theme.gap
        onBack: root.back()
    }
    // A positioner: a layout of Qt 6.4 may lay out what a Repeater has just taken away
    Column {
        id: rows
        spacing: 0
        Layout.fillWidth: true

        Repeater {
            model: root.sheets

            SheetRow {
                width: rows.width
                required property int index
            }
        }
    }
    ChoiceRow {
        word: qsTr("Hand tags to another phone")
        glyph: "share"
        onClicked: root.open("handrun", "")
    }
    ChoiceRow {
        word: qsTr("Take tags from another phone")
        glyph: "phone-only"
        onClicked: root.open("takerun", "")
    }
    ChoiceRow {
        word: qsTr("How codes are built")
        value: root.schemes.summary
        glyph: "sheet"
        onClicked: root.open("schemes", "")
    }
    Item {
        Layout.fillHeight: true
        Layout.minimumHeight: Theme.gap * 2
    }
    Key {
        text: qsTr("Take in a sheet")
        tone: "main"
        Layout.fillWidth: true
        onClicked: root.open("newsheet", "")
    }
}
