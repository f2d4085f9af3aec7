import QtQuick
import QtQuick.Layouts
import Discal

// The first start asks one thing: which tags are in your hand. The rest when it is needed.
PageColumn {
    id: root

    required property SheetsModel sheets
    signal open(string page, string what)

    spacing: Theme.low ? 8 : Theme.gap

    PageHead {
        visible: !root.sheets.isFromLabel || Theme.textScale <= 1.3 // then the question is all there is room for
        title: qsTr("Which tags are in your hand?")
        note: Theme.low ? "" : qsTr("That is all it takes to begin.")
        Layout.fillWidth: true
        Layout.topMargin: Theme.low ? 0 : Theme.gap
        Layout.bottomMargin: Theme.low ? 0 : Theme.gap
    }
    SheetFields {
        sheets: root.sheets
        spacing: root.spacing
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
        text: root.sheets.isFromLabel ? qsTr("Yes, with this phone") : qsTr("Begin")
        tone: "main"
        enabled: root.sheets.canReceive
        Accessible.description: qsTr("keeps the sheet and opens the Tag page")
        Layout.fillWidth: true
        onClicked: root.sheets.receive()
    }
    Key {
        visible: root.sheets.isFromLabel
        text: qsTr("no, it is elsewhere")
        Accessible.description: qsTr("nothing is taken in")
        Layout.fillWidth: true
        onClicked: root.sheets.decline()
    }
    Key {
        text: qsTr("tags come from another phone")
        Layout.fillWidth: true
        onClicked: root.open("takerun", "")
    }
}
