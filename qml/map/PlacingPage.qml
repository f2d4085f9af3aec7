import QtQuick
import QtQuick.Layouts
import Discal

// A new site is placed by hand: the map is moved until the cross lies on it.
MapFrame {
    id: root

    required property SitesModel sites
    signal back

    hasCross: true
    Component.onCompleted: {
        root.sites.beginElsewhere();
        root.map.beginPlacing(root.sites.placed);
    }
    Component.onDestruction: root.map.end()

    head: PageHead {
        title: qsTr("Where is it?")
        // With large text the map needs the room
        note: Theme.textScale > 1.3 ? "" : qsTr("Move the map until the cross lies on it.")
        hasBack: true
        Layout.fillWidth: true
        onBack: root.back()
    }
    keys: [
        Column {
            id: said
            Layout.fillWidth: true

            Words {
                text: Theme.textScale > 1.3 ? root.map.middleTown : root.map.middleWords
                visible: text !== ""
                font.pixelSize: Theme.smallSize
                width: said.width
            }
            Words {
                text: root.map.middleWithin
                font.pixelSize: Theme.smallSize
                font.weight: Font.DemiBold
                width: said.width
            }
        },
        ZoomKeys {
            map: root.map
            Layout.fillWidth: true
        },
        Key {
            text: qsTr("Here it is")
            tone: "main"
            Layout.fillWidth: true
            onClicked: {
                root.sites.takePlace(root.map.middle, "", 3);
                root.back();
            }
        }
    ]
}
