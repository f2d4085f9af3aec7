import QtQuick
import QtQuick.Layouts
import Discal

// Title of a page, what it holds in a line, and the way back where it was opened from another.
Item {
    id: root

    required property string title
    property string note: ""
    property bool hasBack: false
    signal back

    implicitHeight: column.implicitHeight
    implicitWidth: column.implicitWidth

    GridLayout {
        id: column
        width: parent.width
        columns: Theme.textScale > 1.3 ? 1 : 2
        columnSpacing: Theme.gap
        rowSpacing: Theme.gap

        Key {
            visible: root.hasBack
            text: qsTr("back", "short, on a key")
            glyph: "back"
            onClicked: root.back()
        }
        ColumnLayout {
            spacing: 2
            Layout.fillWidth: true

            Words {
                text: root.title
                font.pixelSize: Theme.headSize
                font.weight: Font.ExtraBold
                Layout.fillWidth: true
                Accessible.role: Accessible.Heading
            }
            Words {
                visible: root.note !== ""
                text: root.note
                font.pixelSize: Theme.smallSize
                color: Theme.quiet
                Layout.fillWidth: true
            }
        }
    }
}
