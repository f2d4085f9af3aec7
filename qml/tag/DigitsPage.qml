pragma ComponentBehavior: Bound
import QtQuick
import QtQuick.Layouts
import Discal

// The last digits of the tag, as many as it takes to know which one.
PageColumn {
    id: root

    required property TagPageModel tag
    required property SheetPageModel sheet
    required property bool isCheck
    signal back
    signal done

    // Not in the key that was tapped: it goes when the codes change
    function take(code: string) {
        if (root.isCheck)
            root.tag.answer(code);
        else
            root.tag.pick(code);
        root.done();
    }

    Component.onCompleted: root.sheet.show(root.tag.letters + " " + root.tag.digits, !root.isCheck)

    PageHead {
        title: qsTr("The last digits")
        note: root.sheet.advice
        hasBack: true
        Layout.fillWidth: true
        onBack: root.back()
    }
    Item {
        Layout.fillHeight: true
    }
    CodeText {
        letters: root.tag.letters
        digits: root.sheet.lastDigits === "" ? "–" : root.sheet.lastDigits
        size: Theme.codeSize * 0.8
        Layout.fillWidth: true
        Accessible.name: qsTr("typed: %1").arg(root.sheet.lastDigits)
    }
    // A positioner: a layout of Qt 6.4 may lay out what a Repeater has just taken away
    Item {
        id: candidates
        Layout.fillWidth: true
        Layout.preferredHeight: Theme.mainHeight

        Row {
            spacing: 8

            Repeater {
                model: root.sheet.candidates

                CodeKey {
                    required property string modelData
                    text: modelData
                    tone: root.sheet.candidates.length === 1 ? "main" : "soft"
                    most: root.sheet.candidates.length === 1 ? Theme.titleSize : Theme.headSize
                    width: (candidates.width + 8) / Math.max(1, root.sheet.candidates.length) - 8
                    height: Theme.mainHeight
                    onClicked: root.take(modelData)
                }
            }
        }
    }
    NumberPad {
        most: root.sheet.mostDigits
        text: root.sheet.lastDigits
        onEdited: text => root.sheet.lastDigits = text
    }
}
