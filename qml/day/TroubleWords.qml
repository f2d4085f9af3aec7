import QtQuick
import Discal

// One trouble at length, and the way to where it can be put right.
Item {
    id: root

    required property string line
    required property string words
    required property string action
    required property string page
    signal open(string page, string what)

    implicitHeight: column.height + 2 * Theme.margin

    Rectangle {
        color: Theme.line
        width: parent.width
        height: 2
    }
    Column {
        id: column
        y: Theme.margin
        width: parent.width
        spacing: Theme.gap

        Item {
            width: parent.width
            height: Math.max(head.height, sign.height)

            Glyph {
                id: sign
                name: "triangle"
                ink: Theme.ink
                width: Math.min(32, 24 * Theme.textScale)
                height: width
                y: Math.max(0, (head.font.pixelSize * 1.2 - height) / 2)
                anchors.left: parent.left
            }
            FitWords {
                id: head
                text: root.line
                weight: Font.ExtraBold
                anchors.left: sign.right
                anchors.leftMargin: 8
                anchors.right: parent.right
                Accessible.role: Accessible.Heading
            }
        }
        Words {
            text: root.words
            width: parent.width
        }
        Key {
            visible: root.action !== ""
            text: root.action
            tone: "soft"
            width: parent.width
            onClicked: root.open(root.page, "")
        }
    }
}
