pragma ComponentBehavior: Bound
import QtQuick
import QtQuick.Layouts
import Discal

// One butterfly's whole life, line by line; each line can be taken back.
ListPage {
    id: root

    required property StoryPageModel story
    required property string butterfly
    property bool hasBack: true
    signal back
    signal open(string page, string what)

    model: story
    head: PageBlock {
        PageHead {
            title: root.story.digits === "" ? qsTr("No tag") : root.story.letters + " " + root.story.digits
            note: root.story.summary
            hasBack: root.hasBack
            Layout.fillWidth: true
            onBack: root.back()
        }
        NoteLine {
            visible: root.story.isOnlyHere
            text: qsTr("Only on this phone")
            glyph: "phone-only"
        }
        FailureBox {
            sentence: root.story.failure.sentence
            canRetry: false
            Layout.fillWidth: true
            onDismiss: root.story.failure.dismiss()
        }
        Rectangle {
            color: Theme.line
            Layout.fillWidth: true
            Layout.leftMargin: -Theme.margin
            Layout.rightMargin: -Theme.margin
            Layout.bottomMargin: -Theme.gap
            Layout.preferredHeight: 1.5
        }
    }
    delegate: StoryRow {
        onClicked: root.open("line", line)
    }
    keys: PageBlock {
        Key {
            visible: root.story.isHeld
            tone: "main"
            text: Theme.night ? qsTr("Put back on the branch") : qsTr("Let go")
            Layout.fillWidth: true
            onClicked: root.story.letGo()
        }
        Key {
            visible: root.story.isHeld
            text: qsTr("a visitor lets it go")
            Layout.fillWidth: true
            onClicked: root.story.letGoByVisitor()
        }
        GridLayout {
            columns: Theme.textScale > 1.3 ? 1 : 2
            columnSpacing: Theme.gap
            rowSpacing: Theme.gap
            Layout.fillWidth: true

            Key {
                text: qsTr("correct …")
                Layout.fillWidth: true
                Layout.preferredWidth: 1
                onClicked: root.open("correct", root.butterfly)
            }
            Key {
                visible: root.story.isHeld
                text: qsTr("it died")
                Layout.fillWidth: true
                Layout.preferredWidth: 1
                onClicked: root.story.died()
            }
        }
    }

    Component.onCompleted: story.read(butterfly)
}
