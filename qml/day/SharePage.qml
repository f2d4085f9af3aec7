import QtQuick
import QtQuick.Layouts
import Discal

// A safe copy of everything, or the day's butterflies as a table, where other programs find them.
PageColumn {
    id: root

    required property SharePageModel share
    signal back

    PageHead {
        title: qsTr("Share the day")
        note: qsTr("into %1").arg(root.share.folderName)
        hasBack: true
        Layout.fillWidth: true
        onBack: root.back()
    }
    FailureBox {
        sentence: root.share.failure.sentence
        canRetry: root.share.failure.canRetry
        Layout.fillWidth: true
        onRetry: root.share.failure.retry()
        onDismiss: root.share.failure.dismiss()
    }
    NoteLine {
        text: root.share.done
        glyph: "tick"
        isStrong: true
        Layout.topMargin: Theme.gap
    }
    NoteLine {
        text: root.share.unsaved === "" ? ""
                                        : qsTr("Not in the copy, but put beside it in words. ") + root.share.unsaved
        glyph: "triangle"
        isStrong: true
        Layout.topMargin: Theme.gap
    }
    Item {
        Layout.fillHeight: true
    }
    Words {
        text: qsTr("A safe copy holds the whole journal, with every correction. From it another phone, or this one after a "
                   + "loss, goes on.")
        Layout.fillWidth: true
    }
    Key {
        tone: "main"
        text: qsTr("Keep a safe copy")
        hint: qsTr("everything, checked line by line")
        Layout.fillWidth: true
        onClicked: root.share.keepCopy()
    }
    Words {
        text: qsTr("A table opens in any spreadsheet: code, sex, origin, time, place, fate.")
        Layout.fillWidth: true
        Layout.topMargin: Theme.gap
    }
    Key {
        enabled: root.share.butterflies > 0
        text: qsTr("Keep the day as a table")
        hint: qsTr("CSV, %n in it", "butterflies in the table", root.share.butterflies)
        Layout.fillWidth: true
        onClicked: root.share.keepTable()
    }

    Component.onCompleted: share.begin()
}
