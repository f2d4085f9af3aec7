pragma ComponentBehavior: Bound
import QtQuick
import QtQuick.Layouts
import Discal

// Where we are: one of the station's sites, or a new one.
PageColumn {
    id: root

    required property SitesModel sites
    signal back
    signal open(string page, string what)

    function pick(site: string) {
        root.sites.pick(site);
        root.back();
    }

    spacing: 0

    PageHead {
        title: qsTr("Which site?")
        note: qsTr("Where the receiver says nothing, the site answers.")
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
            model: root.sites

            ChoiceRow {
                width: rows.width
                required property string site
                required property string name
                required property string about
                required property bool isCurrent

                word: name
                hint: about
                glyph: "place"
                value: isCurrent ? qsTr("here", "the site in use") : ""
                Accessible.selected: isCurrent
                onClicked: root.pick(site)
            }
        }
    }
    ChoiceRow {
        word: qsTr("no site")
        hint: qsTr("by position only")
        value: root.sites.currentName === "" ? qsTr("here", "the site in use") : ""
        Accessible.selected: value !== ""
        onClicked: root.pick("")
    }
    ChoiceRow {
        word: qsTr("a town", "in place of a site")
        hint: qsTr("by its first letters")
        onClicked: root.open("town", "")
    }
    ChoiceRow {
        visible: root.sites.leaves !== ""
        word: qsTr("Landowners’ leave")
        value: root.sites.leaves
        onClicked: root.open("leaves", "")
    }
    Item {
        Layout.fillHeight: true
        Layout.minimumHeight: Theme.gap * 2
    }
    Key {
        text: qsTr("Add a site")
        tone: "main"
        Layout.fillWidth: true
        onClicked: root.open("newsite", "")
    }
}
