import QtQuick
import QtQuick.Layouts
import Discal

// One butterfly after another. Everything needed for one is on this page, in the lower two thirds.
Item {
    id: root

    required property TagPageModel tag
    property string notice: ""
    property string lastSaid: ""
    signal open(string page, string what)

    Connections {
        target: root.tag
        function onSaid(sentence) {
            root.lastSaid = sentence;
        }
        function onStageChanged() {
            if (root.tag.stage === TagPageModel.InHand)
                root.lastSaid = "";
        }
    }
    Timer {
        interval: 1000
        repeat: true
        running: root.visible
        onTriggered: root.tag.refreshStatus()
    }
    PageColumn {
        anchors.fill: parent

        TagHead {
            tag: root.tag
            status: root.tag.stage === TagPageModel.InHand ? qsTr("written %1").arg(root.tag.writtenAt)
                                                           : root.tag.placeText
            count: root.tag.stage === TagPageModel.InHand ? qsTr("saved") : qsTr("%n here", "", root.tag.countHere)
            notice: root.tag.stage === TagPageModel.InHand ? "" : root.notice
            isBrief: root.tag.stage === TagPageModel.InHand && Theme.textScale > 1.3
            Layout.fillWidth: true
            onOpen: (page, what) => root.open(page, what)
        }
        FailureBox {
            sentence: root.tag.failure
            canRetry: root.tag.canRetry
            Layout.fillWidth: true
            onRetry: root.tag.retry()
            onDismiss: root.tag.dismissFailure()
            onKeepCopy: root.open("copy", "")
        }
        ReadyStage {
            visible: root.tag.stage === TagPageModel.Ready
            tag: root.tag
            lastSaid: root.lastSaid
            Layout.fillWidth: true
            Layout.fillHeight: true
            onOpen: (page, what) => root.open(page, what)
        }
        CheckStage {
            visible: root.tag.stage === TagPageModel.Check
            tag: root.tag
            Layout.fillWidth: true
            Layout.fillHeight: true
            onOpen: (page, what) => root.open(page, what)
        }
        OriginStage {
            visible: root.tag.stage === TagPageModel.Origin
            tag: root.tag
            Layout.fillWidth: true
            Layout.fillHeight: true
        }
        StillStage {
            visible: root.tag.stage === TagPageModel.Still
            tag: root.tag
            Layout.fillWidth: true
            Layout.fillHeight: true
            onOpen: (page, what) => root.open(page, what)
        }
        HandStage {
            visible: root.tag.stage === TagPageModel.InHand
            tag: root.tag
            Layout.fillWidth: true
            Layout.fillHeight: true
            onOpen: (page, what) => root.open(page, what)
        }
        NoTagStage {
            visible: root.tag.stage === TagPageModel.NoTag
            Layout.fillWidth: true
            Layout.fillHeight: true
            onOpen: (page, what) => root.open(page, what)
        }
    }
}
