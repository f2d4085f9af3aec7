import QtQuick
import QtQuick.Layouts
import Discal

// What this phone is called, and the code by which another phone hands tags to it.
PageColumn {
    id: root

    required property SetupPageModel setup
    signal back

    Component.onCompleted: root.setup.beginPhone()

    PageHead {
        title: qsTr("This phone")
        hasBack: true
        Layout.fillWidth: true
        onBack: root.back()
    }
    Field {
        label: qsTr("What it is called")
        value: root.setup.newDeviceName
        prompt: qsTr("such as MH’s phone")
        hints: Qt.ImhNone
        most: 60
        onEdited: text => root.setup.newDeviceName = text
    }
    Words {
        text: qsTr("Others read this name beside tags that it holds and lines that it wrote.")
        font.pixelSize: Theme.smallSize
        color: Theme.quiet
        Layout.fillWidth: true
    }
    Words {
        text: qsTr("Its code, for whoever hands it tags")
        font.weight: Font.DemiBold
        Layout.fillWidth: true
        Layout.topMargin: Theme.gap
    }
    Words {
        text: root.setup.deviceCode
        font.family: Theme.codeFamily
        Layout.fillWidth: true
    }
    Item {
        Layout.fillHeight: true
    }
    FailureBox {
        sentence: root.setup.failure.sentence
        canRetry: root.setup.failure.canRetry
        Layout.fillWidth: true
        onRetry: root.setup.failure.retry()
        onDismiss: root.setup.failure.dismiss()
    }
    Key {
        text: qsTr("Keep it")
        tone: "main"
        enabled: root.setup.newDeviceName.trim() !== ""
        Layout.fillWidth: true
        onClicked: {
            if (root.setup.savePhone())
                root.back();
        }
    }
}
