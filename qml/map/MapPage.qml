import QtQuick
import QtQuick.Layouts
import Discal

// Where the day's butterflies were, and where we are.
MapFrame {
    id: root

    signal back
    signal open(string page, string what)

    Component.onCompleted: root.map.begin()
    Component.onDestruction: root.map.end()

    head: PageHead {
        title: qsTr("Map")
        note: root.map.count === "" ? root.map.place : root.map.place + "\n" + root.map.count
        hasBack: true
        Layout.fillWidth: true
        onBack: root.back()
    }
    keys: ZoomKeys {
        map: root.map
        Layout.fillWidth: true

        Key {
            text: root.map.hasHere ? qsTr("here", "where we are on a map") : qsTr("where?", "no position")
            Accessible.name: root.map.hasHere ? qsTr("show where we are") : qsTr("where are we? a site, or a town")
            leftPadding: 6
            rightPadding: 6
            Layout.fillWidth: true
            Layout.fillHeight: true
            Layout.preferredWidth: 1
            onClicked: {
                if (root.map.hasHere)
                    root.map.showHere();
                else
                    root.open("sites", "");
            }
        }
        Key {
            text: qsTr("the day", "all of its butterflies on a map")
            enabled: root.map.hasDay
            Accessible.name: qsTr("show the whole day")
            leftPadding: 6
            rightPadding: 6
            Layout.fillWidth: true
            Layout.fillHeight: true
            Layout.preferredWidth: 1
            onClicked: root.map.showDay()
        }
    }
}
