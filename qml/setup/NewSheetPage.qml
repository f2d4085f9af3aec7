import QtQuick
import QtQuick.Layouts
import Discal

// Another sheet is taken in.
PageColumn {
    id: root

    required property SheetsModel sheets
    signal back
    signal open(string page, string what)

    Component.onCompleted: root.sheets.failure.dismiss()

    PageHead {
        title: qsTr("Take in a sheet")
        hasBack: true
        Layout.fillWidth: true
        onBack: root.back()
    }
    SheetFields {
        sheets: root.sheets
        asksRow: true
        Layout.fillWidth: true
        onCamera: root.open("camera", "label")
    }
    Item {
        Layout.fillHeight: true
    }
    FailureBox {
        sentence: root.sheets.failure.sentence
        canRetry: false
        Layout.fillWidth: true
        onDismiss: root.sheets.failure.dismiss()
    }
    Key {
        text: root.sheets.isFromLabel ? qsTr("Yes, with this phone") : qsTr("Take it in")
        tone: "main"
        enabled: root.sheets.canReceive
        Layout.fillWidth: true
        onClicked: {
            if (root.sheets.receive())
                root.back();
        }
    }
    Key {
        visible: root.sheets.isFromLabel
        text: qsTr("no, it is elsewhere")
        Accessible.description: qsTr("nothing is taken in")
        Layout.fillWidth: true
        onClicked: {
            root.sheets.decline();
            root.back();
        }
    }
}
