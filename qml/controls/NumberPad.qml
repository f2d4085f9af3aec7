pragma ComponentBehavior: Bound
import QtQuick
import QtQuick.Layouts
import Discal

// Our own digits, for wet fingers: ten keys, and one that takes the last back.
GridLayout {
    id: root

    property string text: ""
    property int most: 9
    signal edited(string text)

    // Takes the last one back, under the thumb; or all of them, on the other side.
    component LastKey: PadKey {
        required property bool erases

        text: erases ? qsTr("erase", "short, on a key of a pad") : qsTr("clear", "short, on a key of a pad")
        isWord: true
        enabled: root.text !== ""
        Accessible.description: erases ? qsTr("takes the last one back") : ""
        onClicked: root.edited(erases ? root.text.slice(0, -1) : "")
    }

    columns: 3
    // Written from left to right in every language
    LayoutMirroring.enabled: false
    LayoutMirroring.childrenInherit: true
    columnSpacing: 8
    rowSpacing: 8
    Layout.fillWidth: true

    Repeater {
        model: ["1", "2", "3", "4", "5", "6", "7", "8", "9"]

        PadKey {
            required property string modelData
            text: modelData
            onClicked: root.edited((root.text + modelData).slice(0, root.most))
        }
    }
    LastKey {
        erases: Theme.leftHanded
    }
    PadKey {
        text: "0"
        onClicked: root.edited((root.text + "0").slice(0, root.most))
    }
    LastKey {
        erases: !Theme.leftHanded
    }
}
