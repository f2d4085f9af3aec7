pragma ComponentBehavior: Bound
import QtQuick
import QtQuick.Layouts
import Discal

// The butterflies of the session, newest first; each opens to its whole story.
ListPage {
    id: root

    required property TodayPageModel today
    required property TroublesModel troubles
    // Whose story stands beside the list
    property string chosen: ""
    signal open(string page, string what)
    signal read(string butterfly)

    model: today
    head: PageBlock {
        PageHead {
            title: qsTr("Today")
            note: root.today.day
            Layout.fillWidth: true
        }
        Words {
            visible: root.today.total > 0
            text: root.today.sexes
            font.weight: Font.DemiBold
            Layout.fillWidth: true
            Layout.topMargin: -4
        }
        Words {
            visible: root.today.total > 0
            text: root.today.origins
            Layout.fillWidth: true
            Layout.topMargin: -8
        }
        NoteLine {
            visible: root.today.isOnlyHere && root.today.total > 0
            text: qsTr("Only on this phone")
            glyph: "phone-only"
            isStrong: true
        }
        TroubleLines {
            troubles: root.troubles
            onOpen: (page, what) => root.open(page, what)
        }
        Words {
            visible: root.today.total === 0
            text: qsTr("No butterfly yet.")
            font.weight: Font.DemiBold
            Layout.fillWidth: true
            Layout.topMargin: Theme.gap
        }
        Words {
            visible: root.today.total === 0
            text: qsTr("The first one noted opens the day; all of it is read here afterwards.")
            Layout.fillWidth: true
        }
        Rectangle {
            visible: root.today.total > 0
            color: Theme.line
            Layout.fillWidth: true
            Layout.leftMargin: -Theme.margin
            Layout.rightMargin: -Theme.margin
            Layout.bottomMargin: -Theme.gap
            Layout.preferredHeight: 1.5
        }
    }
    delegate: ButterflyRow {
        required property string butterfly
        required property string when
        required property string where

        note: when
        more: where
        isChosen: butterfly === root.chosen
        onClicked: root.read(butterfly)
    }
    keys: PageBlock {
        GridLayout {
            columns: Theme.textScale > 1.3 || root.today.total === 0 ? 1 : 3
            columnSpacing: Theme.gap
            rowSpacing: Theme.gap
            Layout.fillWidth: true

            Key {
                visible: root.today.total > 0
                text: qsTr("Share", "the day, short")
                Accessible.name: qsTr("Share the day")
                glyph: "share"
                Layout.fillWidth: true
                Layout.fillHeight: true
                Layout.preferredWidth: 1
                onClicked: root.open("copy", "")
            }
            Key {
                visible: root.today.total > 0
                text: qsTr("Map", "of the day, short")
                Accessible.name: qsTr("Map of the day")
                Layout.fillWidth: true
                Layout.fillHeight: true
                Layout.preferredWidth: 1
                onClicked: root.open("map", "")
            }
            Key {
                text: qsTr("The session")
                Layout.fillWidth: true
                Layout.fillHeight: true
                Layout.preferredWidth: 1
                onClicked: root.open("session", "")
            }
        }
    }
}
