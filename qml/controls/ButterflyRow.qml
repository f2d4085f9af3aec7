import QtQuick
import QtQuick.Layouts
import Discal

// One butterfly in a list: its tag's mark, code, sex; beside or under them what the list is about.
RuledRow {
    id: root

    required property string letters
    required property string digits
    required property string sex
    required property string mark
    property string note: ""
    property string more: ""
    property string warning: ""
    property bool isNoteStrong: false
    readonly property bool isLarge: Theme.textScale > 1.3
    readonly property real markSize: Math.min(26, 18 * Theme.textScale)

    width: ListView.view ? ListView.view.width : implicitWidth
    topPadding: 8
    leftPadding: Theme.margin
    rightPadding: Theme.margin
    text: digits === "" ? sex : qsTr("%1 %2, %3", "letters and digits of a code, sex").arg(letters).arg(digits).arg(sex)
    Accessible.description: note + " " + more + " " + warning

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
            Layout.preferredWidth: root.markSize
            Layout.preferredHeight: root.markSize
            Layout.leftMargin: 2
            // Beside the code where more stands under it
            Layout.alignment: root.isLarge || root.warning !== "" ? Qt.AlignTop : Qt.AlignVCenter
            Layout.topMargin: root.isLarge ? (number.height - root.markSize) / 2
                            : root.warning !== "" ? (line.height - root.markSize) / 2 : 0
        }
        ColumnLayout {
            spacing: 2
            Layout.fillWidth: true

            GridLayout {
                id: line
                columns: root.isLarge ? 1 : 3
                columnSpacing: Theme.gap
                rowSpacing: 2
                Layout.fillWidth: true

                Row {
                    visible: root.digits !== ""
                    spacing: 6
                    LayoutMirroring.enabled: false

                    Text {
                        text: root.letters
                        font.family: Theme.codeFamily
                        font.pixelSize: Theme.bodySize
                        font.weight: Font.Medium
                        color: Theme.ink
                        anchors.baseline: number.baseline
                        Accessible.ignored: true
                    }
                    Text {
                        id: number
                        text: root.digits
                        font.family: Theme.codeFamily
                        font.pixelSize: Theme.bodySize * 1.2
                        font.weight: Font.ExtraBold
                        color: Theme.ink
                        Accessible.ignored: true
                    }
                }
                Words {
                    text: root.sex
                    Accessible.ignored: true
                }
                ColumnLayout {
                    spacing: 0
                    Layout.fillWidth: true

                    Words {
                        visible: text !== ""
                        text: root.note
                        font.pixelSize: root.isNoteStrong ? Theme.bodySize : Theme.smallSize
                        font.weight: root.isNoteStrong ? Font.ExtraBold : Font.Normal
                        color: root.isNoteStrong ? Theme.ink : Theme.quiet
                        horizontalAlignment: root.isLarge ? Text.AlignLeft : Text.AlignRight
                        Layout.fillWidth: true
                        Accessible.ignored: true
                    }
                    Words {
                        visible: text !== ""
                        text: root.more
                        font.pixelSize: Theme.smallSize
                        color: Theme.quiet
                        horizontalAlignment: root.isLarge ? Text.AlignLeft : Text.AlignRight
                        Layout.fillWidth: true
                        Accessible.ignored: true
                    }
                }
            }
            NoteLine {
                text: root.warning
                glyph: "triangle"
                isStrong: true
                Accessible.ignored: true
            }
        }
    }
}
