pragma ComponentBehavior: Bound
import QtQuick
import QtQuick.Layouts
import Discal

// Our own capitals, for tags of others. Placed by numbers: they are written from left to right in every language, and
// the key that erases changes its side with the hand.
Item {
    id: root

    property string text: ""
    property int most: 6
    readonly property int columns: Math.max(4, Math.min(9, Math.floor((width + 8) / 68)))
    readonly property real keyWidth: (width + 8) / columns - 8
    readonly property int lastRow: Math.floor(26 / columns)
    readonly property int inLastRow: 26 % columns
    // In the last row, where the letters leave room for it
    readonly property bool isBeside: inLastRow + 2 <= columns
    signal edited(string text)

    implicitHeight: (lastRow + (isBeside ? 1 : 2)) * (Theme.keyHeight + 8) - 8
    Layout.fillWidth: true

    Repeater {
        model: ["A", "B", "C", "D", "E", "F", "G", "H", "I", "J", "K", "L", "M", "N", "O", "P", "Q", "R", "S", "T",
            "U", "V", "W", "X", "Y", "Z"]

        PadKey {
            required property int index
            required property string modelData
            readonly property int row: Math.floor(index / root.columns)
            readonly property int moved: Theme.leftHanded && root.isBeside && row === root.lastRow ? 2 : 0

            text: modelData
            x: (index % root.columns + moved) * (width + 8)
            y: row * (height + 8)
            width: root.keyWidth
            height: Theme.keyHeight
            onClicked: root.edited((root.text + modelData).slice(0, root.most))
        }
    }
    PadKey {
        text: qsTr("erase", "short, on a key of a pad")
        isWord: true
        enabled: root.text !== ""
        x: Theme.leftHanded ? 0 : root.width - width
        y: root.implicitHeight - height
        width: 2 * root.keyWidth + 8
        height: Theme.keyHeight
        onClicked: root.edited(root.text.slice(0, -1))
    }
}
