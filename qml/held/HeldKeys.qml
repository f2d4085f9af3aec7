import QtQuick
import QtQuick.Layouts
import Discal

// What can be done with those in the cage, and with those that have just gone.
PageBlock {
    id: root

    required property HeldPageModel held
    signal open(string page, string what)

    LastLine {
        visible: words !== ""
        words: root.held.lastText
        canUndo: root.held.canUndo
        Layout.fillWidth: true
        onUndo: root.held.undo()
    }
    Key {
        visible: root.held.canExceptAfterwards
        text: qsTr("of those that went: except …")
        Accessible.name: qsTr("say which of those that went stayed or died")
        Layout.fillWidth: true
        onClicked: root.open("except", "afterwards")
    }
    Key {
        visible: root.held.shownCount > 0
        tone: "main"
        text: qsTr("All go")
        hint: root.held.goText
        Layout.fillWidth: true
        onClicked: root.held.allGo()
    }
    GridLayout {
        visible: root.held.shownCount > 0
        columns: Theme.textScale > 1.3 ? 1 : 2
        columnSpacing: Theme.gap
        rowSpacing: Theme.gap
        Layout.fillWidth: true

        Key {
            text: qsTr("all except …")
            Accessible.name: qsTr("all go, except some")
            Layout.fillWidth: true
            Layout.preferredWidth: 1
            onClicked: root.open("except", "")
        }
        Key {
            text: qsTr("a tag lies loose")
            Layout.fillWidth: true
            Layout.preferredWidth: 1
            onClicked: root.open("loose", "")
        }
    }
}
