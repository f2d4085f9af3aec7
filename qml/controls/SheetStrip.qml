pragma ComponentBehavior: Bound
import QtQuick
import Discal

// The sheet at a glance: one mark a tag, in the order of printing. Says how far she has come and what lies ahead.
Item {
    id: root

    // A QStringList; the lint of Qt 6.4 takes it for no list<string>
    required property var marks
    property int freeCount: 0
    property real markSize: Math.min(10, (width - (marks.length + 1) * 3) / Math.max(1, marks.length))

    // Written from left to right in every language
    LayoutMirroring.enabled: false
    LayoutMirroring.childrenInherit: true
    implicitHeight: 18
    Accessible.role: Accessible.Graphic
    Accessible.name: qsTr("%n free tag(s) on this sheet", "", freeCount)

    Row {
        anchors.centerIn: parent
        spacing: root.marks.length > 1
                 ? Math.min(6, (root.width - root.marks.length * root.markSize) / (root.marks.length - 1)) : 0

        Repeater {
            model: root.marks

            TagMark {
                required property string modelData
                fate: modelData
                width: root.markSize
                height: root.markSize
                anchors.verticalCenter: parent ? parent.verticalCenter : undefined
                ink: Theme.ink
                paper: Theme.paper
                gold: Theme.gold
            }
        }
    }
}
