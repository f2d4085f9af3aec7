import QtQuick
import QtQuick.Layouts
import Discal

// A site's name, where it lies, and whether its owner lets us.
PageColumn {
    id: root

    required property SitesModel sites
    signal back
    signal done
    signal open(string page, string what)

    // The last two ways have pages of their own, and come back with a place.
    function take(way: int) {
        if (way === 3)
            root.open("placing", "");
        else if (way === 4)
            root.open("town", "site");
        else
            root.sites.way = way;
    }

    Component.onCompleted: root.sites.begin()

    // The receiver may find its place only while the page is open
    Timer {
        interval: 1000
        repeat: true
        running: root.sites.way === 0
        onTriggered: root.sites.lookAgain()
    }

    PageHead {
        title: qsTr("Add a site")
        hasBack: true
        Layout.fillWidth: true
        onBack: root.back()
    }
    Field {
        label: qsTr("Its name")
        value: root.sites.name
        example: qsTr("Ridge meadow", "a site's name")
        hints: Qt.ImhNone
        onEdited: text => root.sites.name = text
    }
    ChoiceKeys {
        question: qsTr("Where is it?")
        names: [qsTr("here", "a site"), qsTr("type it", "a position"), qsTr("by name", "a site without position"),
            qsTr("on the map", "a site"), qsTr("a town", "a site")]
        columns: Theme.textScale > 1.3 ? 1 : 3
        current: root.sites.way
        onChosen: which => root.take(which)
    }
    GridLayout {
        visible: root.sites.way === 1
        columns: Theme.textScale > 1.3 ? 1 : 2
        columnSpacing: 8
        rowSpacing: 8
        Layout.fillWidth: true

        Field {
            label: qsTr("Latitude")
            value: root.sites.latitude
            example: qsTr("43.5571", "degrees")
            hints: Qt.ImhPreferNumbers
            most: 24
            Layout.preferredWidth: 1
            onEdited: text => root.sites.latitude = text
        }
        Field {
            label: qsTr("Longitude")
            value: root.sites.longitude
            example: qsTr("-90.8893", "degrees")
            hints: Qt.ImhPreferNumbers
            most: 24
            Layout.preferredWidth: 1
            onEdited: text => root.sites.longitude = text
        }
        Field {
            label: qsTr("Known within, m")
            value: root.sites.within
            example: qsTr("50", "metres")
            hints: Qt.ImhFormattedNumbersOnly
            most: 9
            Layout.preferredWidth: 1
            onEdited: text => root.sites.within = text
        }
        Field {
            label: qsTr("Its radius, m", "of a site")
            value: root.sites.radius
            prompt: qsTr("may stay open", "a field")
            hints: Qt.ImhFormattedNumbersOnly
            most: 9
            Layout.preferredWidth: 1
            onEdited: text => root.sites.radius = text
        }
    }
    Words {
        visible: text !== ""
        text: root.sites.understood
        font.weight: Font.DemiBold
        Layout.fillWidth: true
    }
    Words {
        visible: text !== ""
        text: root.sites.advice
        font.pixelSize: Theme.smallSize
        color: Theme.quiet
        Layout.fillWidth: true
    }
    Key {
        visible: root.sites.way === 1 && root.sites.canSwap
        text: qsTr("Swap them", "latitude and longitude")
        Layout.fillWidth: true
        onClicked: root.sites.swap()
    }
    Field {
        visible: root.sites.way === 0 || root.sites.way === 3
        label: qsTr("Its radius, m", "of a site")
        value: root.sites.radius
        prompt: qsTr("may stay open", "a field")
        hints: Qt.ImhFormattedNumbersOnly
        most: 9
        onEdited: text => root.sites.radius = text
    }
    ChoiceKeys {
        question: qsTr("Does the landowner let you?")
        names: [qsTr("yes", "the landowner's leave"), qsTr("no", "the landowner's leave")]
        current: root.sites.leave
        onChosen: which => root.sites.leave = which
    }
    Item {
        Layout.fillHeight: true
    }
    FailureBox {
        sentence: root.sites.failure.sentence
        canRetry: false
        Layout.fillWidth: true
        onDismiss: root.sites.failure.dismiss()
    }
    Key {
        text: qsTr("Add it")
        tone: "main"
        enabled: root.sites.canAdd
        Layout.fillWidth: true
        onClicked: {
            if (root.sites.add())
                root.done();
        }
    }
}
