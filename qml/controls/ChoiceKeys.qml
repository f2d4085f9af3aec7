pragma ComponentBehavior: Bound
import QtQuick
import QtQuick.Layouts
import Discal

// Closed choices side by side, under their question. None is chosen until she chooses.
ColumnLayout {
    id: root

    required property string question
    required property list<string> names
    property int current: -1
    property int columns: names.length
    property bool isCode: false
    property string note: ""
    signal chosen(int which)

    spacing: 6
    Layout.fillWidth: true
    Layout.fillHeight: false

    Words {
        text: root.question
        visible: text !== ""
        font.weight: Font.DemiBold
        Layout.fillWidth: true
        Accessible.ignored: true
    }
    GridLayout {
        columns: root.columns
        columnSpacing: 8
        rowSpacing: 8
        Layout.fillWidth: true
        // Five keys of 60 dp need a little more than the page's column.
        Layout.leftMargin: root.columns > 4 ? -4 : 0
        Layout.rightMargin: root.columns > 4 ? -4 : 0

        Repeater {
            model: root.names

            Key {
                required property int index
                required property string modelData
                text: modelData
                isChosen: root.current === index
                checkable: true
                leftPadding: 6
                rightPadding: 6
                size: root.isCode ? Math.min(Theme.headSize, 34) : Theme.bodySize
                Layout.fillWidth: true
                Layout.fillHeight: true
                Layout.preferredWidth: 1
                Layout.minimumWidth: 60
                Layout.minimumHeight: implicitHeight
                Accessible.role: Accessible.RadioButton
                Accessible.name: root.question + " " + text
                onClicked: root.chosen(index)
            }
        }
    }
    Words {
        text: root.note
        visible: text !== ""
        font.pixelSize: Theme.smallSize
        color: Theme.quiet
        Layout.fillWidth: true
    }
}
