import QtQuick
import QtQuick.Layouts
import Discal

// It came with a tag: what does it say, how does it look, which sex. Then its story.
PageColumn {
    id: root

    required property TagPageModel tag
    required property AlreadyModel already
    property string story: ""
    property string butterfly: ""
    readonly property bool isOver: story !== ""
    signal back
    signal open(string page, string what)

    Component.onCompleted: root.already.begin()

    Connections {
        target: root.tag
        function onRecaptured(butterfly, sentence) {
            root.story = sentence;
            root.butterfly = butterfly;
        }
    }
    FailureBox {
        sentence: root.tag.failure
        unsaved: root.tag.unsaved
        canRetry: root.tag.canRetry
        Layout.fillWidth: true
        onRetry: root.tag.retry()
        onDismiss: root.tag.dismissFailure()
        onKeepCopy: root.open("copy", "")
    }
    AlreadyCode {
        visible: root.story === "" && !root.already.isCodeDone
        already: root.already
        Layout.fillWidth: true
        Layout.fillHeight: true
        onBack: root.back()
        onCamera: root.open("camera", "already")
    }
    AlreadyLook {
        visible: root.story === "" && root.already.isCodeDone
        already: root.already
        Layout.fillWidth: true
        Layout.fillHeight: true
        onBack: root.already.backToCode()
        onWrite: root.tag.recapture(root.already.code, root.already.mark, root.already.sex)
    }
    AlreadyStory {
        visible: root.story !== ""
        code: root.already.code
        story: root.story
        Layout.fillWidth: true
        Layout.fillHeight: true
        onBack: root.back()
        onMeasure: root.open("measure", root.butterfly)
    }
}
