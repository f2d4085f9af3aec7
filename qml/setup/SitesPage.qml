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

    spacing: 0

    PageHead {
        title: qsTr("Which site?")
        note: qsTr("Where the receiver says nothing, the site answers.")
        hasBack: true
        Layout.fillWidth: true
        Layout.bottomMargin: Theme.gap
        onBack: root.back()
    }
    Placed {
        Column {
            id: rows
            width: parent.width
            spacing: 0

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
                    onClicked: {
                        // The rows may be made anew: the page is kept hold of
                        const page = root;
                        page.sites.pick(site);
                        page.back();
                    }
                }
            }
        }
    }
    ChoiceRow {
        word: qsTr("no site")
        hint: qsTr("by position only")
        value: root.sites.currentName === "" ? qsTr("here", "the site in use") : ""
        Accessible.selected: value !== ""
        onClicked: {
            root.sites.pick("");
            root.back();
        }
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
