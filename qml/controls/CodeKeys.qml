pragma ComponentBehavior: Bound
import QtQuick
import QtQuick.Layouts
import Discal

// Some codes to choose from, a key each, in columns.
Item {
    id: root

    // A QStringList; the lint of Qt 6.4 takes it for no list<string>
    required property var codes
    property int columns: 2
    property int current: -1
    signal picked(int which)

    visible: codes.length > 0
    implicitHeight: keys.implicitHeight
    Layout.fillWidth: true

    // A positioner: a layout of Qt 6.4 may lay out what a Repeater has just taken away. Its width is nobody's business.
    Grid {
        id: keys
        columns: root.columns
        spacing: 8

        Repeater {
            model: root.codes

            CodeKey {
                required property int index
                required property string modelData
                text: modelData
                tone: "soft"
                isChosen: root.current === index
                width: (root.width + 8) / root.columns - 8
                onClicked: root.picked(index)
            }
        }
    }
}
