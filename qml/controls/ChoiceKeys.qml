pragma ComponentBehavior: Bound
import QtQuick
import QtQuick.Layouts
import Discal

// Closed choices side by side, under their question. None is chosen until she chooses.
Item {
    id: root

    required property string question
    required property list<string> names
    property int current: -1
    property int columns: names.length
    property bool isCode: false
    property string note: ""
    signal chosen(int which)

    implicitHeight: column.implicitHeight
    Layout.fillWidth: true

    // A positioner: a layout of Qt 6.4 keeps the height that words had before they were wrapped
    Column {
        id: column
        spacing: 6
        width: root.width

        Words {
            text: root.question
            visible: text !== ""
            font.weight: Font.DemiBold
            width: root.width
            Accessible.ignored: true
        }
        Item {
            width: root.width
            height: keys.implicitHeight

            // A positioner here too: a layout of Qt 6.4 may lay out what a Repeater has just taken away
            Grid {
                id: keys
                // Five keys of 60 dp need a little more than the page's column.
                readonly property real beyond: root.columns > 4 ? 4 : 0
                readonly property real keyWidth: (root.width + 2 * beyond + 8) / root.columns - 8
                // qmllint disable
                readonly property real tallest:
                    Array.from(children).reduce((most, key) => Math.max(most, key.implicitHeight), 0)
                // qmllint enable

                x: -beyond
                columns: root.columns
                spacing: 8

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
                        width: keys.keyWidth
                        height: Math.max(implicitHeight, keys.tallest)
                        Accessible.role: Accessible.RadioButton
                        Accessible.name: root.question + " " + text
                        onClicked: root.chosen(index)
                    }
                }
            }
        }
        Words {
            text: root.note
            visible: text !== ""
            font.pixelSize: Theme.smallSize
            color: Theme.quiet
            width: root.width
        }
    }
}
