import QtQuick
import Discal

// The short line of a trouble; the row leads to what can be done. What is put in it stands above the line.
RuledRow {
    id: root

    required property string line
    default property alias above: over.data

    text: line
    Accessible.description: qsTr("what is safe, and what to do")

    Item {
        readonly property real needed: over.height + said.height

        width: parent.width
        height: Math.max(needed, Theme.rowHeight - root.topPadding - root.bottomPadding)

        Item {
            id: over
            y: (parent.height - parent.needed) / 2
            width: parent.width
            height: childrenRect.height
        }
        Glyph {
            name: "triangle"
            ink: Theme.ink
            width: Math.min(32, 22 * Theme.textScale)
            height: width
            anchors.left: parent.left
            // In the middle of the first line
            y: said.y + Math.max(0, (said.font.pixelSize * 1.2 - height) / 2)
        }
        FitWords {
            id: said
            text: root.line
            size: Theme.smallSize
            y: over.y + over.height
            anchors.left: parent.left
            anchors.leftMargin: Math.min(32, 22 * Theme.textScale) + 8
            anchors.right: parent.right
            Accessible.ignored: true
        }
    }
}
