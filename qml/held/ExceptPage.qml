pragma ComponentBehavior: Bound
import QtQuick
import QtQuick.Layouts
import Discal

// All go, except: a tap says that one stays, a second that it died. Before, or after the cage was let go.
ListPage {
    id: root

    required property ExceptPageModel exceptions
    required property string moment
    signal back

    model: exceptions
    head: PageBlock {
        PageHead {
            title: root.exceptions.isAfterwards ? qsTr("All went, except") : qsTr("All go, except")
            hasBack: true
            Layout.fillWidth: true
            onBack: root.back()
        }
        Words {
            text: root.exceptions.isAfterwards ? qsTr("Tap once: it stayed. Twice: it died.")
                                               : qsTr("Tap once: it stays. Twice: it died.")
            Layout.fillWidth: true
        }
        FailureBox {
            sentence: root.exceptions.failure.sentence
            canRetry: false
            Layout.fillWidth: true
            onDismiss: root.exceptions.failure.dismiss()
        }
        Rectangle {
            color: Theme.line
            Layout.fillWidth: true
            Layout.leftMargin: -Theme.margin
            Layout.rightMargin: -Theme.margin
            Layout.bottomMargin: -Theme.gap
            Layout.preferredHeight: 1.5
        }
    }
    delegate: ButterflyRow {
        required property string butterfly
        required property int choice
        required property string choiceText

        mark: choice === ExceptPageModel.Stays ? "held" : "on"
        note: choiceText
        isNoteStrong: choice !== ExceptPageModel.Goes
        onClicked: root.exceptions.next(butterfly)
    }
    keys: PageBlock {
        Key {
            tone: "main"
            enabled: root.exceptions.canAccept
            text: root.exceptions.isAfterwards ? qsTr("Write it down")
                                               : qsTr("%n go", "butterflies from the cage", root.exceptions.goCount)
            hint: root.exceptions.exceptText
            Layout.fillWidth: true
            onClicked: root.exceptions.accept() && root.back()
        }
    }

    Component.onCompleted: exceptions.begin(moment)
}
