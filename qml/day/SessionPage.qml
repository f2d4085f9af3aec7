pragma ComponentBehavior: Bound
import QtQuick
import QtQuick.Layouts
import Discal

// The spell of field work: its weather, and its end with the effort that went into it.
PageColumn {
    id: root

    required property SessionPageModel session
    required property WeatherPageModel weather
    signal back
    signal open(string page, string what)

    Component.onCompleted: root.session.begin()

    PageHead {
        title: qsTr("The session")
        note: root.session.when
        hasBack: true
        Layout.fillWidth: true
        onBack: root.back()
    }
    Words {
        visible: !root.session.isOpen
        text: root.session.when === "" ? qsTr("None yet. The first butterfly, or the weather, opens one.")
                                       : qsTr("It has ended. The next butterfly, or the weather, opens another.")
        font.weight: Font.DemiBold
        Layout.fillWidth: true
    }
    Words {
        visible: !root.session.isOpen && text !== ""
        text: root.session.effort
        Layout.fillWidth: true
    }
    Column {
        id: readings
        visible: root.weather.readings.length > 0
        spacing: 2
        Layout.fillWidth: true

        Repeater {
            model: root.weather.readings

            Words {
                required property string modelData
                text: modelData
                width: readings.width
            }
        }
    }
    Key {
        text: root.session.isOpen && root.weather.readings.length > 0 ? qsTr("The weather now") : qsTr("How is the weather?")
        Layout.fillWidth: true
        onClicked: root.open("weather", "")
    }
    ColumnLayout {
        visible: root.session.inHand !== ""
        spacing: Theme.gap
        Layout.fillWidth: true
        Layout.topMargin: Theme.gap

        Words {
            text: qsTr("What became of %1?").arg(root.session.inHand)
            font.pixelSize: Theme.headSize
            font.weight: Font.ExtraBold
            Layout.fillWidth: true
            Accessible.role: Accessible.Heading
        }
        Key {
            text: qsTr("Let go")
            tone: "main"
            Layout.fillWidth: true
            onClicked: root.session.letGo()
        }
        Key {
            text: qsTr("Into the cage")
            Layout.fillWidth: true
            onClicked: root.session.intoCage()
        }
    }
    ColumnLayout {
        visible: root.session.isOpen && root.session.inHand === ""
        spacing: Theme.gap
        Layout.fillWidth: true
        Layout.topMargin: Theme.gap

        GridLayout {
            columns: Theme.textScale > 1.3 ? 1 : 2
            columnSpacing: Theme.gap
            rowSpacing: Theme.gap
            Layout.fillWidth: true

            Field {
                label: qsTr("Minutes of work")
                value: root.session.minutes
                prompt: qsTr("all in all", "minutes of work")
                most: 6
                hints: Qt.ImhDigitsOnly
                Layout.preferredWidth: 1
                onEdited: text => root.session.minutes = text
            }
            Field {
                label: qsTr("People")
                value: root.session.people
                prompt: qsTr("how many", "people")
                most: 6
                hints: Qt.ImhDigitsOnly
                Layout.preferredWidth: 1
                onEdited: text => root.session.people = text
            }
        }
        Field {
            label: qsTr("Note")
            prompt: qsTr("what kind of day it was")
            value: root.session.note
            most: 1000
            hints: Qt.ImhNone
            onEdited: text => root.session.note = text
        }
    }
    Item {
        Layout.fillHeight: true
    }
    FailureBox {
        sentence: root.session.failure.sentence
        canRetry: root.session.failure.canRetry
        Layout.fillWidth: true
        onRetry: root.session.failure.retry()
        onDismiss: root.session.failure.dismiss()
        onKeepCopy: root.open("copy", "")
    }
    Key {
        visible: root.session.isOpen && root.session.inHand === ""
        text: qsTr("End the session")
        tone: "main"
        Layout.fillWidth: true
        onClicked: {
            if (root.session.end())
                root.back();
        }
    }
}
