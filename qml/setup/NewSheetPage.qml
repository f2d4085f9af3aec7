import QtQuick
import QtQuick.Layouts
import Discal

// Another sheet is taken in.
PageColumn {
    id: root

    required property SheetsModel sheets
    signal back

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
        text: qsTr("Take it in")
        tone: "main"
        enabled: root.sheets.canReceive
        Layout.fillWidth: true
        onClicked: {
            if (root.sheets.receive())
                root.back();
        }
    }
}
