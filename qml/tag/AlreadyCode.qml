pragma ComponentBehavior: Bound
import QtQuick
import QtQuick.Layouts
import Discal

// The code on the wing, by our own pads.
ColumnLayout {
    id: root

    required property AlreadyModel already
    property bool typesLetters: root.already.ownLetters.length === 0
    signal back
    signal camera

    spacing: Theme.low ? 8 : Theme.gap

    PageHead {
        title: qsTr("What does its tag say?")
        hasBack: true
        Layout.fillWidth: true
        onBack: root.back()
    }
    CodeText {
        letters: root.already.letters
        digits: root.already.digits === "" ? "–" : root.already.digits
        size: Theme.codeSize * (Theme.low ? 0.5 : 0.7)
        Layout.fillWidth: true
        Accessible.name: qsTr("typed: %1 %2").arg(root.already.letters).arg(root.already.digits)
    }
    Words {
        visible: text !== ""
        text: root.already.advice
        font.pixelSize: Theme.smallSize
        color: Theme.quiet
        Layout.fillWidth: true
    }
    CodeKeys {
        codes: root.already.readings
        onPicked: which => root.already.choose(codes[which])
    }
    Flow {
        spacing: 8
        Layout.fillWidth: true

        Repeater {
            model: root.already.ownLetters

            CodeKey {
                required property string modelData
                text: modelData
                isChosen: !root.typesLetters && root.already.letters === modelData
                Accessible.name: qsTr("letters %1").arg(text)
                onClicked: {
                    root.typesLetters = false;
                    root.already.letters = modelData;
                }
            }
        }
        Key {
            text: qsTr("other letters")
            isChosen: root.typesLetters
            onClicked: {
                root.typesLetters = true;
                root.already.letters = "";
            }
        }
        CameraKey {
            onClicked: root.camera()
        }
    }
    LetterPad {
        visible: root.typesLetters
        text: root.already.letters
        Layout.leftMargin: -4
        Layout.rightMargin: -4
        onEdited: text => root.already.letters = text
    }
    NumberPad {
        most: root.already.mostDigits
        text: root.already.digits
        onEdited: text => root.already.digits = text
    }
    GridLayout {
        // In a low window side by side, so that both are in sight
        columns: Theme.low && Theme.textScale <= 1.3 ? 2 : 1
        columnSpacing: Theme.gap
        rowSpacing: root.spacing
        Layout.fillWidth: true

        Key {
            text: root.already.digits === "" ? qsTr("no code to read") : qsTr("no more to read")
            Accessible.description: qsTr("worn, unreadable, or gone")
            Layout.fillWidth: true
            Layout.preferredWidth: 2
            onClicked: root.already.confirmAsFar()
        }
        Key {
            text: qsTr("That is it")
            tone: "main"
            enabled: root.already.canConfirm
            Layout.fillWidth: true
            Layout.preferredWidth: 3
            onClicked: root.already.confirmCode()
        }
    }
    Item {
        Layout.fillHeight: true
    }
}
