pragma ComponentBehavior: Bound
import QtQuick
import QtQuick.Layouts
import Discal

// A town by its first letters, where the receiver says nothing. It answers for the place, as widely as a town is.
PageColumn {
    id: root

    required property TownsModel towns
    required property SitesModel sites
    // For a site that is being added; else we are there
    property bool isForSite: false
    signal back
    signal done

    function choose(which: int) {
        if (root.isForSite) {
            root.sites.takePlace(root.towns.placeOf(which), root.towns.nameOf(which), 4);
            root.back();
        } else if (root.sites.addTown(root.towns.placeOf(which), root.towns.nameOf(which))) {
            root.done();
        }
    }

    spacing: 0
    Component.onCompleted: {
        root.towns.begin();
        if (root.isForSite)
            root.sites.beginElsewhere();
    }

    PageHead {
        title: qsTr("Which town?")
        note: root.isForSite ? qsTr("The site is there, as widely as the town is.")
                             : qsTr("It becomes a site, as wide as the town.")
        hasBack: true
        Layout.fillWidth: true
        Layout.bottomMargin: Theme.gap
        onBack: root.back()
    }
    FailureBox {
        sentence: root.sites.failure.sentence
        canRetry: false
        Layout.fillWidth: true
        Layout.bottomMargin: visible ? Theme.gap : 0
        onDismiss: root.sites.failure.dismiss()
    }
    Field {
        label: qsTr("Its first letters", "of a town")
        value: root.towns.typed
        example: qsTr("Viro", "first letters of a town")
        most: 60
        Layout.bottomMargin: Theme.gap
        onEdited: text => root.towns.typed = text
    }
    Placed {
        Column {
            id: rows
            width: parent.width
            spacing: 0

            Repeater {
                model: root.towns

                ChoiceRow {
                    required property int index
                    required property string name
                    required property string where
                    required property string away

                    word: name
                    hint: where
                    value: away
                    width: rows.width
                    onClicked: root.choose(index)
                }
            }
        }
    }
    Words {
        visible: text !== ""
        text: root.towns.advice
        font.pixelSize: Theme.smallSize
        color: Theme.quiet
        Layout.fillWidth: true
        Layout.topMargin: Theme.gap
    }
    Item {
        Layout.fillHeight: true
    }
}
