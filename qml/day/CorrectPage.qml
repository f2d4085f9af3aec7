import QtQuick
import QtQuick.Layouts
import Discal

// Says anew what was written; the old value stays beside the new one in the story.
PageColumn {
    id: root

    required property CorrectPageModel correct
    required property string butterfly
    signal back

    PageHead {
        title: root.correct.title
        note: qsTr("What should it say?")
        hasBack: true
        Layout.fillWidth: true
        onBack: root.back()
    }
    FailureBox {
        sentence: root.correct.failure.sentence
        canRetry: false
        Layout.fillWidth: true
        onDismiss: root.correct.failure.dismiss()
    }
    GridLayout {
        columns: Theme.textScale > 1.3 ? 1 : 3
        columnSpacing: Theme.gap
        rowSpacing: Theme.gap
        Layout.fillWidth: true

        ValueKey {
            text: qsTr("male")
            value: "male"
            current: root.correct.sex
            onClicked: root.correct.sex = value
        }
        ValueKey {
            text: qsTr("female")
            value: "female"
            current: root.correct.sex
            onClicked: root.correct.sex = value
        }
        ValueKey {
            text: qsTr("can’t tell")
            value: "unknown"
            current: root.correct.sex
            onClicked: root.correct.sex = value
        }
    }
    GridLayout {
        columns: 2
        columnSpacing: Theme.gap
        Layout.fillWidth: true

        ValueKey {
            text: qsTr("wild")
            value: "wild"
            current: root.correct.origin
            onClicked: root.correct.origin = value
        }
        ValueKey {
            text: qsTr("reared")
            value: "reared"
            current: root.correct.origin
            onClicked: root.correct.origin = value
        }
    }
    EntryLine {
        label: qsTr("Code")
        value: root.correct.code
        isCode: true
        hints: Qt.ImhUppercaseOnly | Qt.ImhNoPredictiveText
        onTyped: text => root.correct.code = text
    }
    EntryLine {
        visible: root.correct.timeWritten !== ""
        label: qsTr("Time")
        value: root.correct.time
        isCode: true
        hints: Qt.ImhTime
        onTyped: text => root.correct.time = text
    }
    EntryLine {
        label: qsTr("Forewing")
        value: root.correct.forewing
        placeholder: qsTr("mm")
        isCode: true
        hints: Qt.ImhFormattedNumbersOnly
        onTyped: text => root.correct.forewing = text
    }
    EntryLine {
        label: qsTr("Note")
        value: root.correct.note
        placeholder: root.correct.noteWritten === "" ? "" : qsTr("a further note")
        onTyped: text => root.correct.note = text
    }
    GridLayout {
        columns: Theme.textScale > 1.3 ? 1 : 3
        columnSpacing: Theme.gap
        rowSpacing: Theme.gap
        Layout.fillWidth: true

        FitWords {
            text: qsTr("Why?")
            room: 92
            Layout.preferredWidth: 92
        }
        ValueKey {
            text: qsTr("seen again")
            size: Theme.smallSize
            value: "seen again"
            current: root.correct.why
            onClicked: root.correct.why = value
        }
        ValueKey {
            text: qsTr("a slip")
            size: Theme.smallSize
            value: "slip"
            current: root.correct.why
            onClicked: root.correct.why = value
        }
    }
    Item {
        Layout.fillHeight: true
    }
    Key {
        tone: "main"
        enabled: root.correct.changes !== ""
        text: qsTr("Write the correction")
        hint: root.correct.changes
        Layout.fillWidth: true
        onClicked: root.correct.accept() && root.back()
    }

    Component.onCompleted: correct.begin(butterfly)
}
