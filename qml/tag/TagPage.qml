import QtQuick
import QtQuick.Layouts
import Discal

// One butterfly after another. Everything needed for one is on this page, in the lower two thirds.
Item {
    id: root

    required property TagPageModel tag
    required property TroublesModel troubles
    // The first page stands: what the next taps show is made now
    property bool isSettled: false
    signal open(string page, string what)

    Timer {
        interval: 1000
        repeat: true
        running: root.visible
        onTriggered: root.tag.refreshStatus()
    }
    Timer {
        interval: 100
        running: true
        onTriggered: root.isSettled = true
    }
    // What failed stands at the top, and is seen wherever she had scrolled to
    Connections {
        target: root.tag

        function onFailureChanged() {
            column.contentY = 0;
        }
    }
    PageColumn {
        id: column
        anchors.fill: parent

        FailureBox {
            sentence: root.tag.failure
            unsaved: root.tag.unsaved
            canRetry: root.tag.canRetry
            Layout.fillWidth: true
            onRetry: root.tag.retry()
            onDismiss: root.tag.dismissFailure()
            onKeepCopy: root.open("copy", "")
        }
        TagHead {
            tag: root.tag
            status: root.tag.stage === TagPageModel.InHand ? qsTr("written %1").arg(root.tag.writtenAt)
                                                           : root.tag.placeText
            count: root.tag.stage === TagPageModel.InHand ? qsTr("saved") : qsTr("%n here", "", root.tag.countHere)
            trouble: root.tag.stage === TagPageModel.InHand ? "" : root.troubles.gravest
            // In a low window the questions need the room that a row to tap takes
            isPlace: root.tag.stage === TagPageModel.Ready || root.tag.stage !== TagPageModel.InHand && !Theme.low
            isBrief: root.tag.stage !== TagPageModel.Ready && Theme.textScale > 1.3
            Layout.fillWidth: true
            onOpen: (page, what) => root.open(page, what)
        }
        OnceShown {
            isShown: root.tag.stage === TagPageModel.Ready
            isNear: root.isSettled
            file: "tag/ReadyStage.qml"
            models: ({tag: root.tag})
            Layout.fillWidth: true
            Layout.fillHeight: true
            onOpen: (page, what) => root.open(page, what)
        }
        OnceShown {
            isShown: root.tag.stage === TagPageModel.Check
            isNear: root.isSettled
            file: "tag/CheckStage.qml"
            models: ({tag: root.tag})
            Layout.fillWidth: true
            Layout.fillHeight: true
            onOpen: (page, what) => root.open(page, what)
        }
        OnceShown {
            isShown: root.tag.stage === TagPageModel.InHand
            isNear: root.isSettled
            file: "tag/HandStage.qml"
            models: ({tag: root.tag})
            Layout.fillWidth: true
            Layout.fillHeight: true
            onOpen: (page, what) => root.open(page, what)
        }
        OnceShown {
            isShown: root.tag.stage === TagPageModel.Read
            file: "tag/ReadStage.qml"
            models: ({tag: root.tag})
            Layout.fillWidth: true
            Layout.fillHeight: true
            onOpen: (page, what) => root.open(page, what)
        }
        OnceShown {
            isShown: root.tag.stage === TagPageModel.Origin
            file: "tag/OriginStage.qml"
            models: ({tag: root.tag})
            Layout.fillWidth: true
            Layout.fillHeight: true
        }
        OnceShown {
            isShown: root.tag.stage === TagPageModel.Still
            file: "tag/StillStage.qml"
            models: ({tag: root.tag})
            Layout.fillWidth: true
            Layout.fillHeight: true
            onOpen: (page, what) => root.open(page, what)
        }
        OnceShown {
            isShown: root.tag.stage === TagPageModel.NoTag
            file: "tag/NoTagStage.qml"
            models: ({})
            Layout.fillWidth: true
            Layout.fillHeight: true
            onOpen: (page, what) => root.open(page, what)
        }
    }
}
