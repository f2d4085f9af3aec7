import QtQuick
import QtQuick.Layouts
import Discal

// One line of a story, and the way to take it back, or to bring it again.
PageColumn {
    id: root

    required property StoryPageModel story
    required property string line
    signal back

    PageHead {
        title: root.story.digits === "" ? qsTr("No tag") : root.story.letters + " " + root.story.digits
        note: root.story.lineWhen
        hasBack: true
        Layout.fillWidth: true
        onBack: root.back()
    }
    Words {
        text: root.story.lineText
        font.strikeout: root.story.isLineTakenBack
        Layout.fillWidth: true
        Layout.topMargin: Theme.gap
    }
    Words {
        visible: root.story.isLineTakenBack
        text: qsTr("Taken back. It stays in the journal, and can be brought again.")
        font.weight: Font.DemiBold
        Layout.fillWidth: true
    }
    NoteLine {
        visible: root.story.actButterflies > 1
        text: qsTr("%n butterflies were written with this tap: they go together.", "", root.story.actButterflies)
        glyph: "triangle"
        isStrong: true
    }
    Words {
        visible: !root.story.canTakeBack
        text: qsTr("Another phone wrote this: it can be taken back there, or at the office.")
        Layout.fillWidth: true
    }
    FailureBox {
        sentence: root.story.failure.sentence
        canRetry: false
        Layout.fillWidth: true
        onDismiss: root.story.failure.dismiss()
    }
    Item {
        Layout.fillHeight: true
    }
    Key {
        visible: root.story.canTakeBack && !root.story.isLineTakenBack
        tone: "main"
        text: qsTr("Take it back")
        hint: qsTr("nothing is erased")
        Layout.fillWidth: true
        onClicked: root.story.takeBack() && root.back()
    }
    Key {
        visible: root.story.canTakeBack && root.story.isLineTakenBack
        tone: "main"
        text: qsTr("Bring it again")
        Layout.fillWidth: true
        onClicked: root.story.bringAgain() && root.back()
    }

    Component.onCompleted: story.look(line)
}
