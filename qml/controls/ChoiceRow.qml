import QtQuick
import QtQuick.Layouts
import Discal

// A row to tap: a mark or an icon, what it does, and what follows from it.
RuledRow {
    id: root

    required property string word
    property string hint: ""
    property string mark: ""
    property string glyph: ""
    property string value: ""
    // With large text a longer value, or one beside more words, has a line of its own
    readonly property bool isValueBelow: Theme.textScale > 1.3 && (value.length > 5 || hint !== "")
    readonly property real signSize: Math.min(32, 24 * Theme.textScale)

    text: word
    Accessible.name: value === "" ? word : word + ": " + value
    Accessible.description: hint
    Layout.fillWidth: true

    // Placed by anchors: words that wrap in a layout within a layout go round and round in Qt 6.4.
    Item {
        width: parent.width
        height: Math.max(words.height, said.visible ? said.height : 0, Theme.rowHeight - 16)

        Item {
            id: sign
            width: root.mark !== "" || root.glyph !== "" ? root.signSize + Theme.gap : 0
            height: root.signSize
            anchors.left: parent.left
            // Beside the first line where more stand under it
            y: Theme.textScale > 1.3 ? words.y + Math.max(0, (first.font.pixelSize * 1.2 - height) / 2)
                                     : (parent.height - height) / 2

            TagMark {
                visible: root.mark !== ""
                fate: root.mark
                ink: Theme.ink
                paper: Theme.paper
                gold: Theme.gold
                width: root.signSize - 4
                height: width
                anchors.left: parent.left
                anchors.leftMargin: 2
                anchors.verticalCenter: parent.verticalCenter
            }
            Glyph {
                visible: root.glyph !== ""
                name: root.glyph
                ink: Theme.ink
                width: root.signSize
                height: width
                anchors.left: parent.left
                anchors.verticalCenter: parent.verticalCenter
            }
        }
        Column {
            id: words
            width: parent.width - sign.width - (said.visible ? said.width + Theme.gap : 0)
            anchors.left: sign.right
            anchors.verticalCenter: parent.verticalCenter

            FitWords {
                id: first
                text: root.word
                width: parent.width
                Accessible.ignored: true
            }
            Words {
                visible: root.hint !== ""
                text: root.hint
                font.pixelSize: Theme.smallSize
                color: Theme.quiet
                width: parent.width
                Accessible.ignored: true
            }
            Words {
                visible: root.value !== "" && root.isValueBelow
                text: root.value
                font.pixelSize: Theme.smallSize
                font.weight: Font.DemiBold
                width: parent.width
                Accessible.ignored: true
            }
        }
        TextMetrics {
            id: natural
            font: said.font
            text: root.value
        }
        Words {
            id: said
            visible: root.value !== "" && !root.isValueBelow
            text: root.value
            font.pixelSize: Theme.smallSize
            font.weight: Font.DemiBold
            width: Math.min(Math.ceil(natural.advanceWidth) + 2, root.width * 0.45)
            horizontalAlignment: Text.AlignRight
            anchors.right: parent.right
            anchors.verticalCenter: parent.verticalCenter
            Accessible.ignored: true
        }
    }
}
