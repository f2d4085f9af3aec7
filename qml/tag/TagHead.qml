import QtQuick
import QtQuick.Layouts
import Discal

// Where, reared or wild, and whose hand: by word and shape. One line of status under it.
ColumnLayout {
    id: root

    required property TagPageModel tag
    required property string status
    required property string count
    // With large text only the status stays, but for the next tag: the keys below need the room
    property bool isBrief: false
    // What is worth a look before a butterfly is in hand; mostly empty
    property string trouble: ""
    // The status says where we are: it leads to the map
    property bool isPlace: false
    signal open(string page, string what)

    spacing: 4

    GridLayout {
        visible: !root.isBrief
        // With large text the site has a line of its own
        columns: Theme.textScale > 1.3 ? 2 : 3
        layoutDirection: Theme.row
        columnSpacing: Theme.gap - 2
        rowSpacing: Theme.gap - 2
        Layout.fillWidth: true

        Key {
            text: root.tag.siteName === "" ? qsTr("which site?") : root.tag.siteName
            Layout.fillWidth: true
            Layout.columnSpan: Theme.textScale > 1.3 ? 2 : 1
            Layout.minimumWidth: 60
            lines: 2
            Accessible.name: qsTr("site: %1").arg(text)
            onClicked: root.open("sites", "")
        }
        Key {
            visible: root.tag.isOriginSaid
            text: root.tag.isReared ? qsTr("reared") : qsTr("wild")
            leftPadding: 44
            Layout.fillWidth: Theme.textScale > 1.3
            Accessible.name: qsTr("origin: %1").arg(text)
            onClicked: root.tag.setReared(!root.tag.isReared)

            OriginIcon {
                reared: root.tag.isReared
                ink: Theme.ink
                width: 24
                height: 24
                x: 12
                anchors.verticalCenter: parent.verticalCenter
            }
        }
        Key {
            text: root.tag.tagger === "" ? qsTr("who?") : root.tag.tagger
            Layout.minimumWidth: 60
            Layout.maximumWidth: Theme.textScale > 1.3 ? -1 : 110
            Layout.fillWidth: Theme.textScale > 1.3
            Layout.columnSpan: Theme.textScale > 1.3 && !root.tag.isOriginSaid ? 2 : 1
            lines: 1
            Accessible.name: qsTr("tagger: %1").arg(text)
            onClicked: root.open("people", "")
        }
    }
    StatusLine {
        visible: root.trouble === "" && !root.isPlace
        status: root.status
        count: root.count
        Layout.fillWidth: true
    }
    PlaceKey {
        visible: root.trouble === "" && root.isPlace
        status: root.status
        count: root.count
        Layout.fillWidth: true
        Layout.topMargin: 4
        onClicked: root.open("map", "")
    }
    // One target for both: a line alone would be too low for a thumb
    TroubleRow {
        visible: root.trouble !== ""
        line: root.trouble
        Layout.fillWidth: true
        Layout.topMargin: 4
        onClicked: root.open("troubles", "")

        StatusLine {
            status: root.status
            count: root.count
            width: parent.width
        }
    }
}
