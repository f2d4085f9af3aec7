import QtQuick
import QtQuick.Layouts
import Discal

// What may be measured of a butterfly. Every field may stay open.
PageColumn {
    id: root

    required property TagPageModel tag
    // Empty: the one in hand
    required property string butterfly
    property string forewing: ""
    property int wear: 0
    property int mated: -1
    property string sample: ""
    property string note: ""
    readonly property var drafts: ["forewing", "wear", "mated", "sample", "note"]
    signal back
    signal done

    PageHead {
        title: qsTr("Measure %1", "a butterfly by its code").arg(root.tag.codeOf(root.butterfly))
        note: qsTr("What you leave open is not said.")
        hasBack: true
        Layout.fillWidth: true
        onBack: root.back()
    }
    FailureBox {
        sentence: root.tag.failure
        canRetry: false
        Layout.fillWidth: true
        onDismiss: root.tag.dismissFailure()
    }
    GridLayout {
        columns: Theme.textScale > 1.3 ? 1 : 2
        columnSpacing: Theme.gap
        rowSpacing: Theme.gap
        Layout.fillWidth: true

        Field {
            label: qsTr("Forewing, mm")
            example: qsTr("51.5", "a length in mm")
            value: root.forewing
            most: 6
            Layout.preferredWidth: 1
            hints: Qt.ImhFormattedNumbersOnly
            onEdited: text => root.forewing = text
        }
        Field {
            label: qsTr("Parasite sample")
            example: qsTr("no. 17", "number of a sample")
            value: root.sample
            most: 40
            Layout.preferredWidth: 1
            onEdited: text => root.sample = text
        }
    }
    ChoiceKeys {
        question: qsTr("Wear of the wings")
        names: ["1", "2", "3", "4", "5"]
        current: root.wear - 1
        isCode: true
        note: qsTr("1 fresh to 5 badly worn (Malcolm and others 1993)")
        onChosen: which => root.wear = which + 1
    }
    ChoiceKeys {
        question: qsTr("Mated?")
        names: [qsTr("yes", "mated"), qsTr("no", "mated")]
        current: root.mated < 0 ? -1 : 1 - root.mated
        onChosen: which => root.mated = 1 - which
    }
    Field {
        label: qsTr("Note")
        prompt: qsTr("what else you saw")
        value: root.note
        most: 1000
        hints: Qt.ImhNone
        onEdited: text => root.note = text
    }
    Item {
        Layout.fillHeight: true
    }
    Key {
        text: qsTr("Write it down")
        tone: "main"
        enabled: root.forewing !== "" || root.wear > 0 || root.mated >= 0 || root.sample !== "" || root.note !== ""
        Layout.fillWidth: true
        onClicked: {
            if (root.tag.measure(root.butterfly, root.forewing, root.wear, root.mated, root.sample, root.note))
                root.done();
        }
    }
}
