import QtQuick
import QtQuick.Layouts
import Discal

// Written down; the tag goes on. Lying on the table the page shows where, and counts the press.
ColumnLayout {
    id: root

    required property TagPageModel tag
    signal open(string page, string what)

    spacing: Theme.gap - 2

    HindwingPlate {
        id: plate
        letters: root.tag.handLetters
        digits: root.tag.handDigits
        ink: Theme.ink
        fill: Theme.soft
        cell: Theme.paper
        disc: Theme.gold
        discInk: Theme.onGold
        ring: Theme.aster
        Layout.fillWidth: true
        Layout.fillHeight: true
        Layout.preferredHeight: 92
        Layout.maximumHeight: 380

        // Begins anew with every tag
        property string pressed: root.tag.handDigits

        onPressedChanged: press.restart()

        NumberAnimation on progress {
            id: press
            from: 0
            to: 1
            // Long enough for the glue to take: common practice
            duration: Theme.reducedMotion ? 0 : 3000
        }
    }
    Words {
        text: root.tag.handLetters + " " + root.tag.handDigits + "  " + root.tag.handSexText
        fontSizeMode: Text.HorizontalFit
        minimumPixelSize: 18
        maximumLineCount: 1
        font.pixelSize: Theme.headSize
        font.weight: Font.ExtraBold
        horizontalAlignment: Text.AlignHCenter
        Layout.fillWidth: true
    }
    Words {
        text: root.tag.handDoubt !== "" ? root.tag.handDoubt : qsTr("Press for a moment, then let it rest.")
        font.pixelSize: Theme.smallSize
        font.weight: root.tag.handDoubt !== "" ? Font.DemiBold : Font.Normal
        color: root.tag.handDoubt !== "" ? Theme.ink : Theme.quiet
        horizontalAlignment: Text.AlignHCenter
        Layout.fillWidth: true
    }
    RowLayout {
        spacing: Theme.gap - 2
        Layout.fillWidth: true

        Key {
            text: qsTr("male")
            isChosen: root.tag.handSex === "male"
            Layout.fillWidth: true
            Layout.preferredWidth: 1
            Accessible.name: isChosen ? qsTr("male, as written") : qsTr("correct to male")
            onClicked: root.tag.note("male")
        }
        Key {
            text: qsTr("female")
            isChosen: root.tag.handSex === "female"
            Layout.fillWidth: true
            Layout.preferredWidth: 1
            Accessible.name: isChosen ? qsTr("female, as written") : qsTr("correct to female")
            onClicked: root.tag.note("female")
        }
    }
    Key {
        tone: "main"
        text: qsTr("Let go")
        Layout.fillWidth: true
        onClicked: root.tag.letGo()
    }
    RowLayout {
        spacing: Theme.gap - 2
        layoutDirection: Theme.row
        Layout.fillWidth: true

        Key {
            text: qsTr("Into the cage")
            Layout.fillWidth: true
            Layout.preferredWidth: 2
            onClicked: root.tag.intoCage()
        }
        Key {
            text: qsTr("else …")
            Accessible.name: qsTr("something else happened")
            Layout.fillWidth: true
            Layout.preferredWidth: 1
            onClicked: root.open("else", "")
        }
    }
}
