import QtQuick
import QtQuick.Layouts
import Discal

// The station's name, and the permit that it tags under.
PageColumn {
    id: root

    required property SetupPageModel setup
    signal back

    Component.onCompleted: root.setup.begin()

    PageHead {
        title: qsTr("The station")
        hasBack: true
        Layout.fillWidth: true
        onBack: root.back()
    }
    Words {
        visible: !root.setup.isOffice
        text: qsTr("An office of the station decides this. What you say here is kept, and marked to check.")
        font.pixelSize: Theme.smallSize
        Layout.fillWidth: true
    }
    Field {
        label: qsTr("Name of the station")
        value: root.setup.name
        prompt: qsTr("nature centre, school, your own name")
        hints: Qt.ImhNone
        onEdited: text => root.setup.name = text
    }
    Field {
        label: qsTr("Permit number (may stay open)")
        value: root.setup.permitNumber
        most: 60
        onEdited: text => root.setup.permitNumber = text
    }
    Field {
        label: qsTr("Its last day")
        value: root.setup.lastDay
        example: "2026-12-31"
        most: 40
        onEdited: text => root.setup.lastDay = text
    }
    Words {
        visible: text !== ""
        text: root.setup.understoodDay
        font.weight: Font.DemiBold
        Layout.fillWidth: true
    }
    Words {
        text: qsTr("Nothing stops when a permit ends: you are told, and local rules decide.")
        font.pixelSize: Theme.smallSize
        color: Theme.quiet
        Layout.fillWidth: true
    }
    Item {
        Layout.fillHeight: true
    }
    FailureBox {
        sentence: root.setup.failure.sentence
        canRetry: false
        Layout.fillWidth: true
        onDismiss: root.setup.failure.dismiss()
    }
    Key {
        text: qsTr("Keep it")
        tone: "main"
        enabled: root.setup.canSave
        Layout.fillWidth: true
        onClicked: {
            if (root.setup.save())
                root.back();
        }
    }
}
