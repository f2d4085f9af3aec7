pragma ComponentBehavior: Bound
import QtQuick
import QtQuick.Layouts
import Discal

// A tag lies loose in the cage: whose it was gets the next one.
ListPage {
    id: root

    required property HeldPageModel held
    signal back

    model: held
    head: PageBlock {
        PageHead {
            title: qsTr("A tag lies loose")
            hasBack: true
            Layout.fillWidth: true
            onBack: root.back()
        }
        Words {
            text: qsTr("What does it say? Look for the one without its tag, and tap that code here. The same butterfly "
                       + "gets the next tag; the loose one is spoiled.")
            Layout.fillWidth: true
        }
        Rectangle {
            color: Theme.line
            Layout.fillWidth: true
            Layout.leftMargin: -Theme.margin
            Layout.rightMargin: -Theme.margin
            Layout.bottomMargin: -Theme.gap
            Layout.preferredHeight: 1.5
        }
    }
    delegate: HeldRow {
        warning: ""
        Accessible.description: qsTr("its tag lies loose: gets the next one")
        onClicked: {
            root.held.lostTag(butterfly);
            root.back();
        }
    }
}
