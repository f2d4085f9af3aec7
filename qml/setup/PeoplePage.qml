pragma ComponentBehavior: Bound
import QtQuick
import QtQuick.Layouts
import Discal

// Whose hand puts the tag on; or who writes. Helpers go by initials, visitors by a number.
PageColumn {
    id: root

    required property PeopleModel people
    // Who writes is being picked, and not the tagger
    required property bool isRecorder
    signal back
    signal open(string page, string what)

    Component.onCompleted: root.people.begin()

    // Not in the row that was tapped: it goes when the list is read anew
    function pick(person: string) {
        if (root.isRecorder)
            root.people.pickRecorder(person);
        else
            root.people.pickTagger(person);
        root.back();
    }

    spacing: 0

    PageHead {
        title: root.isRecorder ? qsTr("Who writes?") : qsTr("Whose hand tags?")
        note: root.isRecorder ? qsTr("Whoever writes judges the sex.") : qsTr("Stays until you say another.")
        hasBack: true
        Layout.fillWidth: true
        Layout.bottomMargin: Theme.gap
        onBack: root.back()
    }
    // A positioner: a layout of Qt 6.4 may lay out what a Repeater has just taken away
    Column {
        id: rows
        spacing: 0
        Layout.fillWidth: true

        Repeater {
            model: root.people

            ChoiceRow {
                width: rows.width
                required property string person
                required property string name
                required property bool isTagger
                required property bool isRecorder

                word: name
                glyph: "person"
                value: (root.isRecorder ? isRecorder : isTagger) ? qsTr("now", "who tags or writes at present") : ""
                Accessible.selected: value !== ""
                onClicked: root.pick(person)
            }
        }
    }
    ChoiceRow {
        visible: !root.isRecorder
        word: root.people.nextVisitorName
        hint: qsTr("the next visitor; needs no name")
        glyph: "plus"
        onClicked: {
            if (root.people.nextVisitor())
                root.back();
        }
    }
    ChoiceRow {
        visible: !root.isRecorder
        word: qsTr("Who writes")
        value: root.people.recorder === "" ? qsTr("not said") : root.people.recorder
        onClicked: root.open("people", "recorder")
    }
    Item {
        Layout.fillHeight: true
        Layout.minimumHeight: Theme.gap * 2
    }
    FailureBox {
        sentence: root.people.failure.sentence
        canRetry: false
        Layout.fillWidth: true
        Layout.bottomMargin: Theme.gap
        onDismiss: root.people.failure.dismiss()
    }
    Field {
        label: qsTr("Somebody else, by initials")
        value: root.people.initials
        example: qsTr("MH", "initials")
        isCode: true
        most: 6
        hints: Qt.ImhUppercaseOnly | Qt.ImhNoPredictiveText
        onEdited: text => root.people.initials = text
    }
    Key {
        text: root.people.initials === "" ? qsTr("Add") : qsTr("Add %1").arg(root.people.initials.toUpperCase())
        tone: "main"
        enabled: root.people.canAdd
        Layout.fillWidth: true
        Layout.topMargin: Theme.gap
        onClicked: {
            if (root.isRecorder ? root.people.addAsRecorder() : root.people.addAsTagger())
                root.back();
        }
    }
}
