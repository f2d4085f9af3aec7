import QtQuick
import QtQuick.Layouts
import Discal

// The next code and two sexes: one tap writes the line.
ColumnLayout {
    id: root

    required property TagPageModel tag
    signal open(string page, string what)

    spacing: Theme.low ? 8 : Theme.gap

    SheetStrip {
        marks: root.tag.strip
        freeCount: root.tag.freeOnSheet
        Layout.fillWidth: true
    }
    // One row: the code, its picture where the camera read it, and the key that lets it read
    RowLayout {
        spacing: 8
        layoutDirection: Theme.row
        Layout.fillWidth: true

        Key {
            id: next
            Layout.fillWidth: true
            // Digits need less than their line: nothing of them reaches below it
            Layout.preferredHeight: code.implicitHeight - 20
            text: qsTr("next tag %1 %2").arg(root.tag.letters).arg(root.tag.digits)
            Accessible.name: text
            Accessible.description: qsTr("opens the sheet, to pick another")
            onClicked: root.open("sheet", "")
            background: Rectangle {
                radius: Theme.radius
                color: next.down ? Theme.soft : "transparent"
                border.width: next.visualFocus ? Theme.outline + 1.5 : 0
                border.color: Theme.line
            }
            leftPadding: 0
            rightPadding: 0
            contentItem: Item {
                CodeText {
                    id: code
                    letters: root.tag.letters
                    digits: root.tag.digits
                    width: parent.width - beside.width - 12
                    anchors.left: parent.left
                    anchors.verticalCenter: parent.verticalCenter
                    Accessible.ignored: true
                }
                Item {
                    id: beside
                    readonly property bool isRead: root.tag.isNextRead

                    width: isRead ? 60 : 30
                    height: width
                    anchors.right: parent.right
                    anchors.rightMargin: 4
                    anchors.verticalCenter: parent.verticalCenter

                    Glyph {
                        visible: !beside.isRead
                        name: "sheet"
                        ink: Theme.ink
                        anchors.fill: parent
                    }
                    TagPicture {
                        visible: beside.isRead
                        // qmllint disable
                        picture: root.tag.nextPicture
                        // qmllint enable
                        anchors.fill: parent
                    }
                }
            }
        }
        CameraKey {
            Layout.alignment: Qt.AlignVCenter
            onClicked: root.open("camera", "next")
        }
    }
    RowLayout {
        spacing: Theme.gap
        Layout.fillWidth: true
        Layout.fillHeight: true
        Layout.minimumHeight: Theme.low ? 104 : 122
        Layout.maximumHeight: 300

        SexKey {
            male: true
            Layout.fillWidth: true
            Layout.fillHeight: true
            onClicked: root.tag.note("male")
        }
        SexKey {
            male: false
            Layout.fillWidth: true
            Layout.fillHeight: true
            onClicked: root.tag.note("female")
        }
    }
    RowLayout {
        spacing: Theme.gap
        Layout.fillWidth: true

        Key {
            text: qsTr("can’t tell")
            Layout.fillWidth: true
            Layout.preferredWidth: 1
            Accessible.description: qsTr("writes the butterfly down without its sex")
            onClicked: root.tag.note("unknown")
        }
        Key {
            text: qsTr("already tagged")
            Layout.fillWidth: true
            Layout.preferredWidth: 1
            onClicked: root.open("already", "")
        }
    }
    LastLine {
        words: root.tag.lastSaid === "" ? root.tag.lastText : root.tag.lastSaid
        canUndo: root.tag.canUndo
        isOpen: root.tag.isLastOpen
        Layout.fillWidth: true
        onUndo: root.tag.undo()
        onTakeUp: root.tag.takeUp()
    }
}
