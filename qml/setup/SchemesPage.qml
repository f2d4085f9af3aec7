pragma ComponentBehavior: Bound
import QtQuick
import QtQuick.Layouts
import Discal

// How codes are built, as learnt from the sheets; nothing is to be done here.
PageColumn {
    id: root

    required property SchemesModel schemes
    signal back

    Component.onCompleted: root.schemes.look()

    PageHead {
        title: qsTr("How codes are built")
        note: qsTr("Learnt from the first code of each sheet. Codes that you type are read by these.")
        hasBack: true
        Layout.fillWidth: true
        onBack: root.back()
    }
    // A positioner: a layout of Qt 6.4 may lay out what a Repeater has just taken away
    Column {
        id: rows
        spacing: 0
        Layout.fillWidth: true

        Repeater {
            model: root.schemes

            Item {
                id: row
                required property string example
                required property string shape
                required property string paper

                width: rows.width
                height: words.height + 2 * Theme.gap
                Accessible.role: Accessible.ListItem
                Accessible.name: qsTr("such as %1").arg(example) + ", " + shape + ", " + paper

                Column {
                    id: words
                    y: Theme.gap
                    width: row.width
                    spacing: 2

                    Text {
                        text: row.example
                        font.family: Theme.codeFamily
                        font.pixelSize: Theme.titleSize
                        font.weight: Font.ExtraBold
                        color: Theme.ink
                        Accessible.ignored: true
                    }
                    Words {
                        text: row.shape
                        width: parent.width
                        Accessible.ignored: true
                    }
                    Words {
                        text: row.paper
                        font.pixelSize: Theme.smallSize
                        color: Theme.quiet
                        width: parent.width
                        Accessible.ignored: true
                    }
                }
                Rectangle {
                    width: parent.width
                    height: 2
                    anchors.bottom: parent.bottom
                    color: Theme.line
                }
            }
        }
    }
    Item {
        Layout.fillHeight: true
    }
}
