pragma ComponentBehavior: Bound
import QtQuick
import QtQuick.Templates as T
import Discal

// The ways to the pages, along the bottom; down the side where the window is wide. A count stands over the name where
// something waits behind it.
Item {
    id: root

    required property list<string> names
    required property list<string> counts
    required property int current
    property bool isUpright: false
    // Upright, and at the end of the window: its rule is on the other side
    property bool isAtEnd: false
    signal chosen(int page)

    implicitHeight: isUpright ? 0 : bar.implicitHeight + 2 + 20
    implicitWidth: isUpright ? 128 : 0

    Rectangle {
        z: 1
        color: Theme.line
        width: root.isUpright ? 2 : parent.width
        height: root.isUpright ? parent.height : 2
        x: root.isAtEnd !== root.LayoutMirroring.enabled ? 0 : root.width - width
    }
    Grid {
        id: bar
        y: root.isUpright ? Theme.margin + 12 : 2
        x: root.isUpright ? 0 : Theme.margin
        columns: root.isUpright ? 1 : root.names.length
        columnSpacing: 8
        rowSpacing: 8

        Repeater {
            model: root.names

            T.AbstractButton {
                id: tab
                required property int index
                required property string modelData
                readonly property bool isCurrent: root.current === tab.index

                text: tab.modelData
                width: root.isUpright ? root.width
                                      : (root.width - 2 * Theme.margin - (root.names.length - 1) * 8) / root.names.length
                implicitHeight: Math.max(60, face.implicitHeight + 10)
                onClicked: root.chosen(tab.index)
                Accessible.role: Accessible.PageTab
                Accessible.name: root.counts[tab.index] === "" ? tab.text
                                                               : tab.text + ", " + root.counts[tab.index]
                Accessible.selected: isCurrent

                background: Rectangle {
                    color: tab.down ? Theme.soft : Theme.paper
                }
                contentItem: Item {
                    Column {
                        id: face
                        anchors.horizontalCenter: parent.horizontalCenter
                        anchors.bottom: parent.bottom
                        anchors.bottomMargin: 0
                        spacing: 0

                        Text {
                            text: root.counts[tab.index]
                            visible: text !== ""
                            font.family: Theme.codeFamily
                            font.pixelSize: Math.min(Theme.smallSize, 22)
                            font.weight: Font.DemiBold
                            color: Theme.ink
                            anchors.horizontalCenter: parent.horizontalCenter
                            Accessible.ignored: true
                        }
                        Text {
                            text: tab.text
                            font.family: Theme.family
                            font.pixelSize: Math.min(Theme.smallSize, 22)
                            fontSizeMode: Text.HorizontalFit
                            minimumPixelSize: 12
                            width: Math.min(implicitWidth, tab.width)
                            font.weight: tab.isCurrent ? Font.ExtraBold : Font.DemiBold
                            color: Theme.ink
                            anchors.horizontalCenter: parent.horizontalCenter
                            Accessible.ignored: true
                        }
                        Rectangle {
                            width: parent.width
                            height: 5
                            color: tab.isCurrent ? Theme.aster : "transparent"
                        }
                    }
                }
            }
        }
    }
}
