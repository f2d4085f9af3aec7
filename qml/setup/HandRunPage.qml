pragma ComponentBehavior: Bound
import QtQuick
import QtQuick.Layouts
import Discal

// Which tags, how many of them, and to which phone; then the code that the other phone takes over.
PageColumn {
    id: root

    required property HandRunModel handing
    readonly property bool isDone: handing.handed !== ""
    signal back

    Component.onCompleted: root.handing.begin()

    PageHead {
        title: root.isDone ? qsTr("Show this to the other phone") : qsTr("Hand tags on")
        note: root.isDone ? qsTr("%1 is no longer with this phone.").arg(root.handing.handed) : ""
        hasBack: true
        Layout.fillWidth: true
        onBack: root.back()
    }
    FailureBox {
        sentence: root.handing.failure.sentence
        canRetry: false
        Layout.fillWidth: true
        onDismiss: root.handing.failure.dismiss()
    }
    Words {
        visible: !root.isDone && root.handing.runs.length > 0
        text: qsTr("Free tags here")
        font.weight: Font.DemiBold
        Layout.fillWidth: true
        Layout.bottomMargin: -6
    }
    CodeKeys {
        visible: !root.isDone && codes.length > 0
        codes: root.handing.runs
        columns: codes.length > 1 && Theme.textScale <= 1.3 ? 2 : 1
        current: root.handing.run
        onPicked: which => root.handing.run = which
    }
    ChoiceKeys {
        visible: !root.isDone && root.handing.runs.length > 0
        question: qsTr("How many, from the end")
        names: ["5", "10", "25", qsTr("all", "tags of a run")]
        // qmllint disable
        current: [5, 10, 25, 0].indexOf(root.handing.count)
        // qmllint enable
        onChosen: which => root.handing.count = [5, 10, 25, 0][which]
    }
    Words {
        visible: !root.isDone && root.handing.devices.length > 0
        text: qsTr("To which phone")
        font.weight: Font.DemiBold
        Layout.fillWidth: true
        Layout.bottomMargin: -6
    }
    // A positioner: a layout of Qt 6.4 may lay out what a Repeater has just taken away
    Column {
        id: phones
        visible: !root.isDone && root.handing.devices.length > 0
        spacing: 8
        Layout.fillWidth: true

        Repeater {
            model: root.handing.devices

            Key {
                required property int index
                required property string modelData
                text: modelData
                isChosen: root.handing.device === index
                width: phones.width
                Accessible.role: Accessible.RadioButton
                onClicked: root.handing.device = index
            }
        }
    }
    Field {
        visible: !root.isDone && root.handing.runs.length > 0
        label: qsTr("The code that the other phone shows")
        value: root.handing.deviceCode
        prompt: qsTr("26 letters and digits")
        most: 40
        onEdited: text => root.handing.deviceCode = text
    }
    Understood {
        visible: !root.isDone
        what: root.handing.understood
        count: ""
        advice: root.handing.advice
        Layout.fillWidth: true
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
        visible: !root.isDone && root.handing.handedBefore !== ""
        text: qsTr("Show the code of %1 again").arg(root.handing.handedBefore)
        Layout.fillWidth: true
        onClicked: root.handing.showAgain()
    }
    Key {
        visible: !root.isDone
        text: root.handing.understood === "" ? qsTr("Hand on") : qsTr("Hand on %1").arg(root.handing.understood)
        tone: "main"
        enabled: root.handing.canHand
        Layout.fillWidth: true
        onClicked: root.handing.hand()
    }
    Key {
        visible: root.handing.payload !== ""
        text: qsTr("Copy it as text")
        Layout.fillWidth: true
        onClicked: root.handing.copyPayload()
    }
    Key {
        visible: root.isDone
        text: qsTr("Done", "the other phone has it")
        tone: "main"
        Layout.fillWidth: true
        onClicked: root.back()
    }
}
