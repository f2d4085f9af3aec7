import QtQuick
import Discal

// The day: its butterflies, and where there is room the story of one beside them.
Item {
    id: root

    required property TodayPageModel today
    required property TroublesModel troubles
    required property StoryPageModel story
    readonly property bool isBeside: width >= Theme.wide && Theme.textScale <= 1.3
    readonly property string chosen: isBeside ? today.chosen : ""
    signal open(string page, string what)

    // Read anew too when another page has looked at another story meanwhile
    function tell() {
        if (root.visible && root.chosen !== "")
            beside.setSource("StoryPage.qml", {story: root.story, butterfly: root.chosen, hasBack: false});
        else
            beside.source = "";
    }

    onChosenChanged: tell()
    onVisibleChanged: tell()
    Component.onCompleted: tell()

    TodayList {
        id: list
        today: root.today
        troubles: root.troubles
        chosen: root.chosen
        width: root.isBeside ? Math.round(root.width * 0.46) : root.width
        height: root.height
        anchors.left: parent.left
        onOpen: (page, what) => root.open(page, what)
        onRead: butterfly => {
            if (root.isBeside)
                root.today.chosen = butterfly;
            else
                root.open("story", butterfly);
        }
    }
    Rectangle {
        visible: root.isBeside
        color: Theme.line
        width: 2
        height: root.height
        anchors.left: list.right
    }
    Words {
        visible: root.isBeside && root.chosen === "" && root.today.total > 0
        text: qsTr("Tap a butterfly: its story stands here.")
        color: Theme.quiet
        horizontalAlignment: Text.AlignHCenter
        anchors.verticalCenter: parent.verticalCenter
        anchors.left: list.right
        anchors.right: parent.right
        anchors.margins: 3 * Theme.margin
    }
    Loader {
        id: beside
        height: root.height
        anchors.left: list.right
        anchors.leftMargin: 2
        anchors.right: parent.right
    }
    Connections {
        target: beside.item
        ignoreUnknownSignals: true

        function onOpen(page: string, what: string) {
            root.open(page, what);
        }
    }
}
