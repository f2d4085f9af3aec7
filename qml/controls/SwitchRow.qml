import QtQuick
import QtQuick.Layouts
import Discal

// A row that is on or off, by word, by place and by fill.
RuledRow {
    id: root

    required property string word
    required property bool isOn
    property string hint: ""

    text: word
    checkable: false
    Accessible.role: Accessible.CheckBox
    Accessible.name: word
    Accessible.description: hint
    Accessible.checkable: true
    Accessible.checked: isOn
    Layout.fillWidth: true

    RowLayout {
        width: parent.width
        height: Math.max(implicitHeight, Theme.rowHeight - 16)
        spacing: Theme.gap

        ColumnLayout {
            spacing: 0
            Layout.fillWidth: true

            FitWords {
                text: root.word
                room: root.width - 120
                Layout.fillWidth: true
                Accessible.ignored: true
            }
            Words {
                visible: root.hint !== ""
                text: root.hint
                font.pixelSize: Theme.smallSize
                color: Theme.quiet
                Layout.fillWidth: true
                Accessible.ignored: true
            }
        }
        Words {
            text: root.isOn ? qsTr("on", "a setting") : qsTr("off", "a setting")
            font.pixelSize: Theme.smallSize
            font.weight: root.isOn ? Font.ExtraBold : Font.Normal
            Accessible.ignored: true
        }
        Rectangle {
            implicitWidth: 46
            implicitHeight: 28
            radius: 14
            color: root.isOn ? Theme.ink : Theme.paper
            border.width: Theme.outline
            border.color: Theme.line

            Rectangle {
                width: 16
                height: 16
                radius: 8
                x: root.isOn ? parent.width - 22 : 6
                anchors.verticalCenter: parent.verticalCenter
                color: root.isOn ? Theme.paper : Theme.ink
            }
        }
    }
}
