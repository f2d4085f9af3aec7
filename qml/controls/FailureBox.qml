import QtQuick
import QtQuick.Layouts
import Discal

// A failed save: stays until it is put right, keeps what was being saved, and offers a way to take the rest along.
Rectangle {
    id: root

    required property string sentence
    required property bool canRetry
    signal retry
    signal dismiss
    signal keepCopy

    visible: sentence !== ""
    implicitHeight: visible ? column.implicitHeight + 24 : 0
    color: Theme.soft
    radius: Theme.radius
    border.width: Theme.outline
    border.color: Theme.line
    Accessible.role: Accessible.AlertMessage
    Accessible.name: sentence

    ColumnLayout {
        id: column
        x: 12
        y: 12
        width: parent.width - 24
        spacing: 8

        RowLayout {
            spacing: 8

            Glyph {
                name: "triangle"
                ink: Theme.ink
                Layout.preferredWidth: 24
                Layout.preferredHeight: 24
                Layout.alignment: Qt.AlignTop
            }
            Words {
                text: root.sentence
                font.weight: Font.DemiBold
                Layout.fillWidth: true
            }
        }
        RowLayout {
            spacing: Theme.gap

            Key {
                visible: root.canRetry
                text: qsTr("try again")
                Layout.fillWidth: true
                onClicked: root.retry()
            }
            Key {
                visible: root.canRetry
                text: qsTr("keep a copy")
                Layout.fillWidth: true
                onClicked: root.keepCopy()
            }
            Key {
                visible: !root.canRetry
                text: qsTr("understood")
                Layout.fillWidth: true
                onClicked: root.dismiss()
            }
        }
    }
}
