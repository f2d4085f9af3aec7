import QtQuick
import QtQuick.Layouts
import Discal

// Tags come from another phone: by the code that it shows, or because the paper is in our hand.
PageColumn {
    id: root

    required property HandRunModel handing
    required property SetupPageModel setup
    readonly property bool isDone: handing.taken !== ""
    signal back
    signal open(string page, string what)

    spacing: Theme.low ? 8 : Theme.gap
    Component.onCompleted: root.handing.begin()

    PageHead {
        title: qsTr("Take tags")
        note: root.isDone ? "" : qsTr("from another phone")
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
        visible: !root.isDone
        text: qsTr("It asks for this phone’s code:")
        font.weight: Font.DemiBold
        Layout.fillWidth: true
        Layout.bottomMargin: -6
    }
    Text {
        visible: !root.isDone
        text: root.setup.deviceCode
        font.family: Theme.codeFamily
        font.pixelSize: Theme.low && Theme.textScale <= 1.3 ? Theme.bodySize : Math.min(Theme.headSize, 34)
        font.weight: Font.ExtraBold
        color: Theme.ink
        wrapMode: Text.Wrap
        Layout.fillWidth: true
        Accessible.role: Accessible.StaticText
        Accessible.name: text
    }
    Words {
        id: putIn
        visible: !root.isDone
        text: qsTr("Then read it, or put it in as text")
        font.weight: Font.DemiBold
        Layout.fillWidth: true
        Layout.bottomMargin: -6
        Accessible.ignored: true
    }
    GridLayout {
        visible: !root.isDone
        columns: Theme.textScale > 1.3 ? 1 : 3
        columnSpacing: 8
        rowSpacing: Theme.gap
        Layout.fillWidth: true

        CameraKey {
            Accessible.description: qsTr("reads the code that the other phone shows")
            Layout.fillWidth: Theme.textScale > 1.3
            onClicked: root.open("camera", "run")
        }
        Field {
            label: putIn.text
            isLabelShown: false
            value: root.handing.pasted
            prompt: "DISCAL"
            most: 8000
            Layout.preferredWidth: 4
            onEdited: text => root.handing.pasted = text
        }
        Key {
            text: qsTr("paste", "what was copied")
            size: Theme.textScale > 1.3 ? Theme.bodySize : Theme.smallSize
            Layout.fillWidth: true
            Layout.preferredWidth: 3
            onClicked: root.handing.paste()
        }
    }
    Rectangle {
        visible: !root.isDone
        color: Theme.line
        implicitHeight: 2
        Layout.fillWidth: true
        Layout.topMargin: 4
        Layout.bottomMargin: 4
    }
    Words {
        visible: !root.isDone
        text: qsTr("Or only the sheet is in your hand:")
        font.weight: Font.DemiBold
        Layout.fillWidth: true
        Layout.bottomMargin: -6
    }
    GridLayout {
        visible: !root.isDone
        columns: Theme.textScale > 1.3 ? 1 : 2
        columnSpacing: Theme.gap
        rowSpacing: Theme.gap
        Layout.fillWidth: true

        Field {
            label: qsTr("First code")
            value: root.handing.first
            example: "RKD 016"
            most: 20
            hints: Qt.ImhUppercaseOnly | Qt.ImhNoPredictiveText
            Layout.preferredWidth: 1
            onEdited: text => root.handing.first = text
        }
        Field {
            label: qsTr("How many")
            value: root.handing.countText
            example: "10"
            most: 5
            hints: Qt.ImhDigitsOnly
            Layout.preferredWidth: 1
            onEdited: text => root.handing.countText = text
        }
    }
    Understood {
        visible: !root.isDone && what !== ""
        what: root.handing.inHand
        count: ""
        advice: qsTr("Marked to check until the other phone agrees.")
        Layout.fillWidth: true
    }
    Item {
        visible: root.isDone
        Layout.fillHeight: true
        Layout.preferredHeight: 1
    }
    Words {
        visible: root.isDone
        text: root.handing.taken
        font.pixelSize: Theme.headSize
        font.weight: Font.DemiBold
        Layout.fillWidth: true
    }
    Item {
        Layout.fillHeight: true
        Layout.preferredHeight: 1
    }
    Key {
        visible: !root.isDone
        text: qsTr("Take them")
        tone: "main"
        enabled: root.handing.canTake
        Layout.fillWidth: true
        onClicked: root.handing.take()
    }
    Key {
        visible: root.isDone
        text: qsTr("Done", "the tags are here")
        tone: "main"
        Layout.fillWidth: true
        onClicked: root.back()
    }
}
