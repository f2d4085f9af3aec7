import QtQuick
import QtQuick.Layouts
import Discal

// Tags come from another phone: by its code, or because the paper is in our hand.
PageColumn {
    id: root

    required property HandRunModel handing
    required property SetupPageModel setup
    signal back

    Component.onCompleted: root.handing.begin()

    PageHead {
        title: qsTr("Take tags")
        note: qsTr("from another phone")
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
        visible: root.handing.taken === ""
        spacing: Theme.gap
        Layout.fillWidth: true

        Words {
            text: qsTr("The other phone asks for this one’s code:")
            font.weight: Font.DemiBold
            Layout.fillWidth: true
        }
        Text {
            text: root.setup.deviceCode
            font.family: Theme.codeFamily
            font.pixelSize: Math.min(Theme.headSize, 34)
            font.weight: Font.ExtraBold
            color: Theme.ink
            wrapMode: Text.Wrap
            Layout.fillWidth: true
            Accessible.role: Accessible.StaticText
            Accessible.name: text
        }
        Field {
            label: qsTr("Then put in what it shows, as text")
            value: root.handing.pasted
            example: "DISCAL:…"
            most: 8000
            onEdited: text => root.handing.pasted = text
        }
        Rectangle {
            color: Theme.line
            implicitHeight: 1.5
            Layout.fillWidth: true
            Layout.topMargin: Theme.gap
        }
        Words {
            text: qsTr("Or nothing comes across, but the sheet is in your hand:")
            font.weight: Font.DemiBold
            Layout.fillWidth: true
        }
        GridLayout {
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
            what: root.handing.inHand
            count: ""
            advice: qsTr("Marked to check until the other phone agrees.")
            Layout.fillWidth: true
        }
    }
    Words {
        visible: text !== ""
        text: root.handing.taken
        font.pixelSize: Theme.headSize
        font.weight: Font.DemiBold
        Layout.fillWidth: true
    }
    Item {
        Layout.fillHeight: true
    }
    Key {
        visible: root.handing.taken === ""
        text: qsTr("Take them")
        tone: "main"
        enabled: root.handing.canTake
        Layout.fillWidth: true
        onClicked: root.handing.take()
    }
    Key {
        visible: root.handing.taken !== ""
        text: qsTr("Done", "the tags are here")
        tone: "main"
        Layout.fillWidth: true
        onClicked: root.back()
    }
}
