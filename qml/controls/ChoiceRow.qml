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
    // With large text a longer value has a line of its own
    readonly property bool isValueBelow: Theme.textScale > 1.3 && value.length > 5

    text: word
    Accessible.name: value === "" ? word : word + ": " + value
    Accessible.description: hint
    Layout.fillWidth: true

    RowLayout {
        width: parent.width
        height: Math.max(implicitHeight, Theme.rowHeight - 16)
        spacing: Theme.gap

        TagMark {
            visible: root.mark !== ""
            fate: root.mark
            ink: Theme.ink
            paper: Theme.paper
            gold: Theme.gold
            Layout.preferredWidth: 20
            Layout.preferredHeight: 20
            Layout.leftMargin: 2
        }
        Glyph {
            visible: root.glyph !== ""
            name: root.glyph
            ink: Theme.ink
            Layout.preferredWidth: 24
            Layout.preferredHeight: 24
        }
        ColumnLayout {
            spacing: 0
            Layout.fillWidth: true

            Words {
                text: root.word
                font.weight: Font.DemiBold
                Layout.fillWidth: true
                Accessible.ignored: true
            }
            Words {
                visible: root.hint !== ""
                text: root.hint
                font.pixelSize: Theme.smallSize
                color: Theme.quiet
                Layout.fillWidth: true
                Accessible.ignored: true
            }
            Words {
                visible: root.isValueBelow
                text: root.value
                font.pixelSize: Theme.smallSize
                font.weight: Font.DemiBold
                Layout.fillWidth: true
                Accessible.ignored: true
            }
        }
        Words {
            visible: root.value !== "" && !root.isValueBelow
            text: root.value
            font.pixelSize: Theme.smallSize
            font.weight: Font.DemiBold
            Layout.maximumWidth: root.width * 0.45
            horizontalAlignment: Text.AlignRight
            Accessible.ignored: true
        }
    }
}
