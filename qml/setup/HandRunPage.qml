pragma ComponentBehavior: Bound
import QtQuick
import QtQuick.Layouts
import Discal

// Which tags, how many of them, and to which phone.
PageColumn {
    id: root

    required property HandRunModel handing
    signal back

    Component.onCompleted: root.handing.begin()

    PageHead {
        title: root.handing.handed === "" ? qsTr("Hand tags on") : qsTr("Show this to the other phone")
        note: root.handing.handed === "" ? "" : qsTr("%1 is no longer with this phone.").arg(root.handing.handed)
        hasBack: true
        Layout.fillWidth: true
        onBack: root.back()
    }
    FailureBox {
        sentence: root.handing.failure
        canRetry: false
        Layout.fillWidth: true
        onDismiss: root.handing.dismissFailure()
    }
    ColumnLayout {
        visible: root.handing.handed === ""
        spacing: Theme.gap
        Layout.fillWidth: true

        ChoiceKeys {
            visible: root.handing.runs.length > 0
            question: qsTr("Free tags here")
            names: root.handing.runs
            columns: Theme.textScale > 1.3 ? 1 : 2
            current: root.handing.run
            onChosen: which => root.handing.run = which
        }
        ChoiceKeys {
            question: qsTr("How many, from the end")
            names: ["5", "10", "25", qsTr("all", "tags of a run")]
            current: [5, 10, 25, 0].indexOf(root.handing.count)
            onChosen: which => root.handing.count = [5, 10, 25, 0][which]
        }
        ChoiceKeys {
            visible: root.handing.devices.length > 0
            question: qsTr("To which phone")
            names: root.handing.devices
            columns: 1
            current: root.handing.device
            onChosen: which => root.handing.device = which
        }
        Field {
            label: qsTr("The code that the other phone shows")
            value: root.handing.deviceCode
            prompt: qsTr("26 letters and digits")
            most: 40
            onEdited: text => root.handing.deviceCode = text
        }
        Understood {
            what: root.handing.understood
            count: ""
            advice: root.handing.advice
            Layout.fillWidth: true
        }
    }
    QrPicture {
        visible: root.handing.picture !== ""
        source: root.handing.picture
        words: qsTr("a code that hands on %1").arg(root.handing.handed)
        Layout.fillWidth: true
    }
    Words {
        visible: text !== ""
        text: root.handing.carries
        font.pixelSize: Theme.smallSize
        Layout.fillWidth: true
    }
    Item {
        Layout.fillHeight: true
    }
    Key {
        visible: root.handing.payload !== ""
        text: qsTr("Copy it as text")
        Layout.fillWidth: true
        onClicked: root.handing.copyPayload()
    }
    Key {
        visible: root.handing.handed === ""
        text: root.handing.understood === "" ? qsTr("Hand on") : qsTr("Hand on %1").arg(root.handing.understood)
        tone: "main"
        enabled: root.handing.canHand
        Layout.fillWidth: true
        onClicked: root.handing.hand()
    }
    Key {
        visible: root.handing.handed !== ""
        text: qsTr("Done", "the other phone has it")
        tone: "main"
        Layout.fillWidth: true
        onClicked: root.back()
    }
}
