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

    spacing: Theme.gap

    PageHead {
        title: qsTr("What does its tag say?")
        hasBack: true
        Layout.fillWidth: true
        onBack: root.back()
    }
    CodeText {
        letters: root.already.letters
        digits: root.already.digits === "" ? "–" : root.already.digits
        size: Theme.codeSize * 0.7
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
    Placed {
        visible: root.already.readings.length > 0

        Grid {
            id: readings
            width: parent.width
            columns: 2
            spacing: 8

            Repeater {
                model: root.already.readings

                Key {
                    required property string modelData
                    text: modelData
                    tone: "soft"
                    width: (readings.width - 8) / 2
                    onClicked: root.already.choose(modelData)
                }
            }
        }
    }
    Placed {
        Flow {
            width: parent.width
            spacing: 8

            Repeater {
                model: root.already.ownLetters

                Key {
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
        }
    }
    LetterPad {
        id: letters
        visible: root.typesLetters
        Layout.leftMargin: -4
        Layout.rightMargin: -4
        onTextChanged: root.already.letters = text
    }
    NumberPad {
        onTextChanged: root.already.digits = text
    }
    RowLayout {
        spacing: Theme.gap
        Layout.fillWidth: true

        Key {
            text: qsTr("not readable", "the tag on a wing")
            Layout.fillWidth: true
            Layout.preferredWidth: 1
            onClicked: root.already.withoutCode(false)
        }
        Key {
            text: qsTr("tag is gone")
            Accessible.description: qsTr("a trace of glue, or bare scales")
            Layout.fillWidth: true
            Layout.preferredWidth: 1
            onClicked: root.already.withoutCode(true)
        }
    }
    Key {
        text: qsTr("That is it")
        tone: "main"
        enabled: root.already.canConfirm
        Layout.fillWidth: true
        onClicked: root.already.confirmCode()
    }
    Item {
        Layout.fillHeight: true
    }
}
