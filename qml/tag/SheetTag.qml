import QtQuick
import QtQuick.Templates as T
import Discal

// One tag of the drawn sheet: what became of it, and the digits that tell it from its neighbours.
T.AbstractButton {
    id: root

    required property string code
    required property string letters
    required property string digits
    required property string mark
    required property string fate
    required property bool isPickable
    // Every tag may be what the paper says; otherwise only free ones can be next
    required property bool picksAny
    readonly property bool isNext: mark === "next"

    implicitWidth: 60
    implicitHeight: Math.max(Theme.keyHeight, face.implicitHeight + 14)
    enabled: picksAny || isPickable
    text: code
    Accessible.role: Accessible.Button
    Accessible.name: fate === "" ? code : code + ", " + fate

    background: Rectangle {
        radius: 14
        color: root.isNext ? Theme.gold : root.down ? Theme.soft : Theme.paper
        border.width: root.down || root.visualFocus ? Theme.outline + 1.5 : root.enabled ? Theme.outline : 0
        border.color: root.isNext && Theme.night ? Theme.ink : Theme.line
    }
    contentItem: Item {
        Column {
            id: face
            anchors.centerIn: parent
            spacing: 3

            TagMark {
                fate: root.isNext ? "free" : root.mark
                ink: root.isNext ? Theme.onGold : Theme.ink
                paper: root.isNext ? Theme.gold : Theme.paper
                gold: Theme.gold
                width: 14
                height: 14
                anchors.horizontalCenter: parent.horizontalCenter
            }
            Text {
                visible: text !== ""
                text: root.letters
                font.family: Theme.codeFamily
                font.pixelSize: Theme.smallSize * 0.8
                color: root.isNext ? Theme.onGold : Theme.ink
                anchors.horizontalCenter: parent.horizontalCenter
                Accessible.ignored: true
            }
            Text {
                text: root.digits
                font.family: Theme.codeFamily
                font.pixelSize: Math.min(Theme.headSize * 0.9, (root.width - 10) / Math.max(2, root.digits.length) / 0.62)
                font.weight: root.enabled ? Font.ExtraBold : Font.Normal
                color: root.isNext ? Theme.onGold : Theme.ink
                anchors.horizontalCenter: parent.horizontalCenter
                Accessible.ignored: true
            }
        }
    }
}
