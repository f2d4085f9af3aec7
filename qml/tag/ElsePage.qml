import QtQuick
import QtQuick.Layouts
import Discal

// What else may happen to the one in hand. Whole rows, each one tap.
PageColumn {
    id: root

    required property TagPageModel tag
    signal back
    signal open(string page, string what)

    spacing: 0

    PageHead {
        title: qsTr("%1\u00a0%2: what happened?").arg(root.tag.handLetters).arg(root.tag.handDigits)
        hasBack: true
        Layout.fillWidth: true
        Layout.bottomMargin: Theme.gap
        onBack: root.back()
    }
    ChoiceRow {
        word: qsTr("Measure, or add a note")
        hint: qsTr("forewing, wear, mated, sample")
        glyph: "more"
        onClicked: root.open("measure", "")
    }
    ChoiceRow {
        word: qsTr("The tag is spoiled")
        hint: qsTr("same butterfly, next tag")
        mark: "spoiled"
        onClicked: {
            root.tag.tagSpoiled();
            root.back();
        }
    }
    ChoiceRow {
        word: qsTr("It flew with its tag on")
        hint: qsTr("counts as let go")
        mark: "on"
        onClicked: {
            root.tag.flew(true);
            root.back();
        }
    }
    ChoiceRow {
        word: qsTr("It flew without a tag")
        hint: qsTr("the tag is free again")
        mark: "free"
        onClicked: {
            root.tag.flew(false);
            root.back();
        }
    }
    ChoiceRow {
        word: qsTr("Hurt: let go without a tag")
        hint: qsTr("counted; the tag is free again")
        mark: "free"
        onClicked: {
            root.tag.leaveUntagged("hurt");
            root.back();
        }
    }
    ChoiceRow {
        word: qsTr("Too worn to carry a tag")
        hint: qsTr("counted; the tag is free again")
        mark: "free"
        onClicked: {
            root.tag.leaveUntagged("worn");
            root.back();
        }
    }
    ChoiceRow {
        word: qsTr("It died, tag on")
        mark: "on"
        onClicked: {
            root.tag.died(true);
            root.back();
        }
    }
    ChoiceRow {
        word: qsTr("It died before the tag was on")
        hint: qsTr("the tag is free again")
        mark: "free"
        onClicked: {
            root.tag.died(false);
            root.back();
        }
    }
    ChoiceRow {
        word: qsTr("It was a slip: take it back")
        hint: qsTr("no butterfly; the tag is free again")
        glyph: "undo"
        onClicked: {
            root.tag.undo();
            root.back();
        }
    }
    Item {
        Layout.fillHeight: true
    }
}
