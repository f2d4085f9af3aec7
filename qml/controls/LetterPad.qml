pragma ComponentBehavior: Bound
import QtQuick
import QtQuick.Layouts
import Discal

// Our own capitals, for tags of others.
GridLayout {
    id: root

    property string text: ""
    property int most: 6
    signal edited(string text)

    columns: Math.max(4, Math.min(9, Math.floor((width + 8) / 68)))
    // Written from left to right in every language
    LayoutMirroring.enabled: false
    LayoutMirroring.childrenInherit: true
    columnSpacing: 8
    rowSpacing: 8
    Layout.fillWidth: true

    Repeater {
        model: ["A", "B", "C", "D", "E", "F", "G", "H", "I", "J", "K", "L", "M", "N", "O", "P", "Q", "R", "S", "T",
            "U", "V", "W", "X", "Y", "Z"]

        PadKey {
            required property string modelData
            text: modelData
            onClicked: root.edited((root.text + modelData).slice(0, root.most))
        }
    }
    PadKey {
        text: qsTr("erase", "short, on a key of a pad")
        isWord: true
        enabled: root.text !== ""
        Layout.columnSpan: 2
        Layout.preferredWidth: 2
        onClicked: root.edited(root.text.slice(0, -1))
    }
}
