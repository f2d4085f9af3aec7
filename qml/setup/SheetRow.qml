import QtQuick
import QtQuick.Layouts
import Discal

// A sheet in the list: its codes, its tags as marks, and how many are left.
Item {
    id: root

    required property string name
    required property string about
    // A QStringList; the lint of Qt 6.4 takes it for no list<string>
    required property var marks

    implicitHeight: column.implicitHeight + 2 * Theme.gap
    Layout.fillWidth: true
    Accessible.role: Accessible.ListItem
    Accessible.name: name + ", " + about

    ColumnLayout {
        id: column
        y: Theme.gap
        width: parent.width
        spacing: 6

        Text {
            text: root.name
            font.family: Theme.codeFamily
            font.pixelSize: Theme.bodySize * 1.15
            font.weight: Font.ExtraBold
            color: Theme.ink
            wrapMode: Text.Wrap
            Layout.fillWidth: true
            Accessible.ignored: true
        }
        SheetStrip {
            marks: root.marks
            Layout.fillWidth: true
            Accessible.ignored: true
        }
        Words {
            text: root.about
            font.pixelSize: Theme.smallSize
            Layout.fillWidth: true
            Accessible.ignored: true
        }
    }
    Rectangle {
        width: parent.width
        height: 1.5
        anchors.bottom: parent.bottom
        color: Theme.line
    }
}
