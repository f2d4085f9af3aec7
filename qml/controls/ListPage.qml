import QtQuick
import Discal

// A page that is mainly a list. What stands above scrolls with it; the keys stay in reach below, and follow the last
// row where text is large.
Item {
    id: root

    property alias model: list.model
    property alias delegate: list.delegate
    property Item head: null
    property Item keys: null
    property bool isScrolled: false
    readonly property bool areKeysLoose: Theme.textScale > 1.3
    readonly property real keysHeight: keys ? keys.implicitHeight : 0

    function showHead() {
        list.positionViewAtBeginning();
    }

    ListView {
        id: list
        width: Math.min(root.width, Theme.widest + 2 * Theme.margin)
        height: root.height - pinned.height
        x: (root.width - width) / 2
        // With items used again, a list of Qt 6.4 stops asking for further rows at the second page.
        reuseItems: false
        clip: true
        boundsBehavior: Flickable.StopAtBounds
        // The head grows while it is laid out: until somebody scrolls, the page shows its beginning.
        onMovementStarted: root.isScrolled = true
        onOriginYChanged: if (!root.isScrolled) contentY = originY
        // Qt 6.4 can't make a bound header, so its ids are looked up when it is made.
        // qmllint disable unqualified
        header: Item {
            width: ListView.view.width
            height: root.head ? root.head.implicitHeight : 0
        }
        footer: Item {
            width: ListView.view.width
            height: root.areKeysLoose ? root.keysHeight : 0
        }
    }
    Item {
        id: pinned
        width: list.width
        height: root.areKeysLoose ? 0 : root.keysHeight
        x: list.x
        y: root.height - height

        Rectangle {
            anchors.fill: parent
            color: Theme.paper
        }
        // Rows run on under the keys
        Rectangle {
            visible: root.keysHeight > 0 && list.contentHeight > list.height
            width: parent.width
            height: 1.5
            color: Theme.line
        }
    }
    Binding {
        target: root.head
        property: "parent"
        value: list.headerItem
        when: root.head !== null
    }
    Binding {
        target: root.keys
        property: "parent"
        value: root.areKeysLoose ? list.footerItem : pinned
        when: root.keys !== null
    }
}
