import QtQuick
import QtQuick.Layouts
import Discal

// One row of a story: a line with its time; set in under it what was corrected, the old value struck through beside
// the new, or what doesn't add up.
RuledRow {
    id: root

    required property int kind
    required property string line
    required property string when
    required property string words
    required property string old
    required property string why
    required property bool isGone
    required property var picture
    required property bool hasPicture
    readonly property bool isLine: kind === StoryPageModel.Line
    readonly property bool isLarge: Theme.textScale > 1.3

    width: ListView.view.width
    topPadding: 8
    leftPadding: Theme.margin
    rightPadding: Theme.margin
    text: isGone ? qsTr("%1, taken back").arg(words) : words
    Accessible.description: old === "" ? when : qsTr("was %1, %2", "an old value, why").arg(old).arg(why)

    GridLayout {
        width: parent.width
        height: Math.max(implicitHeight, Theme.rowHeight - 16)
        columns: root.isLarge ? 1 : 2
        columnSpacing: Theme.gap
        rowSpacing: 2

        Item {
            visible: !root.isLarge || root.isLine || glyph.visible
            implicitHeight: root.isLine ? time.implicitHeight : 24
            Layout.preferredWidth: root.isLarge ? root.width - 2 * Theme.margin : 56
            Layout.alignment: Qt.AlignVCenter

            Words {
                id: time
                visible: root.isLine
                text: root.when
                font.pixelSize: Theme.smallSize
                color: Theme.quiet
                width: parent.width
                Accessible.ignored: true
            }
            Glyph {
                id: glyph
                visible: root.kind === StoryPageModel.Doubt
                name: "triangle"
                ink: Theme.ink
                width: 24
                height: 24
            }
        }
        ColumnLayout {
            spacing: 2
            Layout.fillWidth: true

            Words {
                visible: root.isGone
                text: qsTr("taken back")
                font.pixelSize: Theme.smallSize
                font.weight: Font.DemiBold
                color: Theme.aster
                Layout.fillWidth: true
                Accessible.ignored: true
            }
            Words {
                visible: root.old !== ""
                text: root.old
                font.strikeout: true
                color: Theme.quiet
                Layout.fillWidth: true
                Accessible.ignored: true
            }
            Words {
                text: root.words
                font.weight: root.isLine ? Font.Normal : Font.DemiBold
                font.strikeout: root.isGone
                Layout.fillWidth: true
                Accessible.ignored: true
            }
            TagPicture {
                visible: root.hasPicture
                picture: root.picture
            }
            Words {
                visible: root.kind === StoryPageModel.Change
                text: root.why === "" ? root.when : qsTr("%1 · %2", "when and why it was corrected").arg(root.when).arg(root.why)
                font.pixelSize: Theme.smallSize
                color: Theme.quiet
                Layout.fillWidth: true
                Accessible.ignored: true
            }
        }
    }
}
