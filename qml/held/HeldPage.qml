pragma ComponentBehavior: Bound
import QtQuick
import QtQuick.Layouts
import Discal

// Who is in which cage since when; all of them go with one tap.
ListPage {
    id: root

    required property HeldPageModel held
    signal open(string page, string what)

    model: held
    head: PageBlock {
        FailureBox {
            sentence: root.held.failure.sentence
            unsaved: root.held.failure.unsaved
            canRetry: root.held.failure.canRetry
            Layout.fillWidth: true
            onRetry: root.held.failure.retry()
            onDismiss: root.held.failure.dismiss()
            onKeepCopy: root.open("copy", "")
        }
        PageHead {
            title: qsTr("Held")
            note: root.held.summary
            Layout.fillWidth: true
        }
        Placed {
            visible: root.held.cages.length > 0

            Flow {
                width: parent.width
                spacing: Theme.gap

                Repeater {
                    model: root.held.cages

                    Key {
                        required property int index
                        required property string modelData
                        text: modelData
                        isChosen: root.held.chosenCage === index
                        size: Theme.smallSize
                        Accessible.role: Accessible.RadioButton
                        onClicked: root.held.chooseCage(index)
                    }
                }
            }
        }
        NoteLine {
            text: root.held.caution
            glyph: "triangle"
            isStrong: true
        }
        Words {
            visible: root.held.heldCount === 0
            text: qsTr("Nobody is in a cage.")
            font.weight: Font.DemiBold
            Layout.fillWidth: true
            Layout.topMargin: Theme.gap
        }
        Words {
            visible: root.held.heldCount === 0
            text: qsTr("A tagged butterfly that goes into the cage waits here until it is let go.")
            Layout.fillWidth: true
        }
        Rectangle {
            visible: root.held.shownCount > 0
            color: Theme.line
            Layout.fillWidth: true
            Layout.leftMargin: -Theme.margin
            Layout.rightMargin: -Theme.margin
            Layout.bottomMargin: -Theme.gap
            Layout.preferredHeight: 1.5
        }
    }
    delegate: HeldRow {
        cageShown: root.held.cages.length > 0 && root.held.chosenCage === 0
        onClicked: root.open("story", butterfly)
    }
    keys: HeldKeys {
        held: root.held
        onOpen: (page, what) => root.open(page, what)
    }

    // What failed stands at the top, and is seen wherever she had scrolled to
    Connections {
        target: root.held.failure

        function onChanged() {
            root.showHead();
        }
    }
    Timer {
        interval: 60000
        repeat: true
        running: root.visible
        onTriggered: root.held.refresh()
    }
}
