pragma ComponentBehavior: Bound
import QtQuick
import QtQuick.Layouts
import Discal

// Which cage the next ones go into.
PageColumn {
    id: root

    required property HeldPageModel held
    property string name: ""
    readonly property var drafts: ["name"]
    signal back

    // Not in the row that was tapped: it goes when the list is read anew
    function use(cage: string) {
        root.held.useCage(cage);
        root.back();
    }

    spacing: 0

    PageHead {
        title: qsTr("Which cage?")
        note: qsTr("Those that wait from now on go into it.")
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
            model: root.held.knownCages

            ChoiceRow {
                required property string modelData
                width: rows.width
                word: modelData
                glyph: "cage"
                value: modelData === root.held.cageInUse ? qsTr("now", "the cage in use") : ""
                Accessible.selected: value !== ""
                onClicked: root.use(modelData)
            }
        }
    }
    ChoiceRow {
        word: qsTr("the cage without a name")
        glyph: "cage"
        value: root.held.cageInUse === "" ? qsTr("now", "the cage in use") : ""
        Accessible.selected: value !== ""
        onClicked: root.use("")
    }
    Item {
        Layout.fillHeight: true
        Layout.minimumHeight: Theme.gap * 2
    }
    Field {
        label: qsTr("Another, by its name")
        value: root.name
        prompt: qsTr("such as net cage")
        most: 40
        hints: Qt.ImhNone
        onEdited: text => root.name = text
    }
    Key {
        text: root.name.trim() === "" ? qsTr("Use it") : qsTr("Use %1", "a cage").arg(root.name.trim())
        tone: "main"
        enabled: root.name.trim() !== ""
        Layout.fillWidth: true
        Layout.topMargin: Theme.gap
        onClicked: root.use(root.name)
    }
}
