import QtQuick
import Discal

// A failed save: says what is not saved, keeps it until it is put right, and offers a way to take the rest along. The
// keys stand before the longer words, so that they are in sight where text is large.
Rectangle {
    id: root

    required property string sentence
    required property bool canRetry
    property string unsaved: ""
    signal retry
    signal dismiss
    signal keepCopy

    // At the top of its page, and seen wherever she had scrolled to
    onSentenceChanged: if (sentence !== "") showIn(parent)
    function showIn(item) {
        if (item && item.showHead)
            item.showHead();
        else if (item)
            showIn(item.parent);
    }

    visible: sentence !== ""
    implicitHeight: visible ? column.height + 24 : 0
    color: Theme.soft
    radius: Theme.radius
    border.width: Theme.outline
    border.color: Theme.line
    Accessible.role: Accessible.AlertMessage
    Accessible.name: unsaved === "" ? sentence : unsaved + " " + sentence

    Column {
        id: column
        x: 12
        y: 12
        width: root.width - 24
        spacing: 8

        Item {
            width: parent.width
            height: Math.max(sign.height, what.height)

            Glyph {
                id: sign
                name: "triangle"
                ink: Theme.ink
                width: Math.min(32, 24 * Theme.textScale)
                height: width
                y: Math.max(0, (what.font.pixelSize * 1.2 - height) / 2)
                anchors.left: parent.left
            }
            FitWords {
                id: what
                text: root.unsaved === "" ? root.sentence : root.unsaved
                weight: root.unsaved === "" ? Font.DemiBold : Font.ExtraBold
                anchors.left: sign.right
                anchors.leftMargin: 8
                anchors.right: parent.right
            }
        }
        Row {
            id: keys
            readonly property real keyWidth: (column.width - Theme.gap) / 2
            readonly property real tallest: Math.max(again.implicitHeight, copy.implicitHeight)

            visible: root.canRetry
            spacing: Theme.gap

            Key {
                id: again
                text: qsTr("try again")
                width: keys.keyWidth
                height: keys.tallest
                onClicked: root.retry()
            }
            Key {
                id: copy
                text: qsTr("keep a copy")
                width: keys.keyWidth
                height: keys.tallest
                onClicked: root.keepCopy()
            }
        }
        Words {
            visible: root.unsaved !== ""
            text: root.sentence
            font.pixelSize: Theme.smallSize
            width: parent.width
        }
        Key {
            visible: !root.canRetry
            text: qsTr("understood")
            width: parent.width
            onClicked: root.dismiss()
        }
    }
}
