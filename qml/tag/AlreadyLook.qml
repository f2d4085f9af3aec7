import QtQuick
import QtQuick.Layouts
import Discal

// How the mark looks, and which sex.
ColumnLayout {
    id: root

    required property AlreadyModel already
    signal back
    signal write

    spacing: Theme.gap

    PageHead {
        title: root.already.code === "" ? qsTr("No code to read") : root.already.code
        hasBack: true
        Layout.fillWidth: true
        onBack: root.back()
    }
    RowLayout {
        visible: root.already.isRead || told.text !== ""
        spacing: Theme.gap
        Layout.fillWidth: true

        TagPicture {
            visible: root.already.isRead
            // qmllint disable
            picture: root.already.picture
            // qmllint enable
            name: qsTr("picture that was read")
            Layout.preferredWidth: 96
            Layout.preferredHeight: 96
            Layout.alignment: Qt.AlignTop
        }
        Words {
            id: told
            text: root.already.code === "" ? ""
                : root.already.history !== "" ? root.already.history : qsTr("Not one of ours, as far as this phone knows.")
            font.weight: Font.DemiBold
            font.pixelSize: Theme.smallSize
            Layout.fillWidth: true
        }
    }
    Item {
        Layout.fillHeight: true
    }
    ChoiceKeys {
        question: qsTr("How does the tag look?")
        // qmllint disable
        names: root.already.marks
        // qmllint enable
        columns: Theme.textScale > 1.3 ? 1 : 2
        current: root.already.markIndex
        onChosen: which => root.already.markIndex = which
    }
    Item {
        Layout.fillHeight: true
        Layout.maximumHeight: 24
    }
    ChoiceKeys {
        question: qsTr("Which sex?")
        names: [qsTr("male"), qsTr("female"), qsTr("can’t tell")]
        columns: Theme.textScale > 1.5 ? 1 : 3
        current: root.already.sexIndex
        onChosen: which => root.already.sexIndex = which
    }
    Item {
        Layout.fillHeight: true
        Layout.maximumHeight: 40
    }
    Key {
        text: qsTr("Write it down")
        tone: "main"
        enabled: root.already.canWrite
        Layout.fillWidth: true
        onClicked: root.write()
    }
}
