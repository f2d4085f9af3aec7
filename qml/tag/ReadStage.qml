pragma ComponentBehavior: Bound
import QtQuick
import QtQuick.Layouts
import Discal

// What the camera read of the next tag, beside the picture that it was read from. One tap keeps or rejects it; where it
// isn't what was offered, neither is shown as right.
ColumnLayout {
    id: root

    required property TagPageModel tag
    readonly property int kind: tag.readKind
    readonly property bool agrees: kind === TagPageModel.Agrees
    readonly property bool differs: kind === TagPageModel.Differs
    readonly property bool isLarge: Theme.textScale > 1.3
    readonly property string offered: tag.letters + " " + tag.digits
    signal open(string page, string what)

    function look() {
        root.tag.rejectReading();
        root.open("camera", "next");
    }

    // A code, and over it who says so
    component SaidKey: Item {
        id: said

        required property string text
        required property string hint
        signal clicked

        implicitHeight: pair.implicitHeight
        Layout.fillWidth: true
        Layout.preferredWidth: 1

        Column {
            id: pair
            spacing: 4
            width: parent.width

            Words {
                text: said.hint
                font.pixelSize: Theme.smallSize
                font.weight: Font.DemiBold
                width: pair.width
                Accessible.ignored: true
            }
            CodeKey {
                text: said.text
                hint: said.hint
                tone: "soft"
                width: pair.width
                height: Theme.mainHeight
                onClicked: said.clicked()
            }
        }
    }

    spacing: Theme.low ? 8 : Theme.gap

    // A positioner: a layout of Qt 6.4 keeps the height that the words had before they were wrapped
    Column {
        id: words
        spacing: 4
        Layout.fillWidth: true

        Words {
            text: root.agrees ? qsTr("The camera reads the tag that is offered.")
                : root.differs ? qsTr("Two codes. Look at the tag: which does it say?")
                : root.kind === TagPageModel.Unlisted ? qsTr("Not on your sheets") : qsTr("Not a free tag")
            font.pixelSize: root.isLarge || root.agrees ? Theme.bodySize : Theme.headSize
            font.weight: Font.ExtraBold
            width: words.width
            Accessible.role: Accessible.Heading
        }
        Words {
            visible: text !== ""
            text: root.tag.readWhy
            font.pixelSize: Theme.smallSize
            width: words.width
        }
    }
    RowLayout {
        spacing: Theme.gap
        Layout.fillWidth: true

        TagPicture {
            // qmllint disable
            picture: root.tag.readPicture
            // qmllint enable
            name: qsTr("picture that was read")
            Layout.preferredWidth: root.isLarge || Theme.low ? 96 : 140
            Layout.preferredHeight: Layout.preferredWidth
        }
        // Said large it would win over the other
        Words {
            visible: root.differs
            text: qsTr("This is what the camera saw.")
            font.weight: Font.DemiBold
            Layout.fillWidth: true
        }
        Text {
            visible: !root.differs
            text: root.tag.readCode === "" ? "–" : root.tag.readCode
            font.family: Theme.codeFamily
            font.pixelSize: Theme.titleSize
            fontSizeMode: Text.HorizontalFit
            minimumPixelSize: 16
            font.weight: Font.ExtraBold
            color: Theme.ink
            horizontalAlignment: Text.AlignLeft
            Layout.fillWidth: true
            Accessible.role: Accessible.StaticText
            Accessible.name: qsTr("read: %1", "a code").arg(text)
        }
    }
    Item {
        visible: !root.isLarge
        Layout.fillHeight: true
    }
    // Both alike: neither wins by itself
    GridLayout {
        visible: root.differs
        columns: root.isLarge ? 1 : 2
        columnSpacing: Theme.gap
        rowSpacing: root.spacing
        Layout.fillWidth: true

        SaidKey {
            text: root.offered
            hint: qsTr("as offered", "a code")
            onClicked: root.tag.keepOffered()
        }
        SaidKey {
            text: root.tag.readCode
            hint: qsTr("as read", "a code")
            onClicked: root.tag.keepReading()
        }
    }
    Key {
        visible: root.agrees
        text: qsTr("That is it")
        tone: "main"
        Layout.fillWidth: true
        onClicked: root.tag.keepReading()
    }
    Key {
        text: qsTr("read it again")
        glyph: "camera"
        Layout.fillWidth: true
        onClicked: root.look()
    }
    Key {
        visible: root.kind === TagPageModel.Unlisted || root.kind === TagPageModel.Used
        enabled: root.tag.canKeepRead
        text: qsTr("keep it as read")
        Accessible.description: qsTr("the next code is this one; it is marked to check")
        Layout.fillWidth: true
        onClicked: root.tag.keepReading()
    }
    Key {
        text: root.differs ? qsTr("neither: pick from the sheet") : qsTr("no, that is not it")
        Layout.fillWidth: true
        onClicked: {
            const isPicked = root.differs;
            root.tag.rejectReading();
            if (isPicked)
                root.open("sheet", "");
        }
    }
    Item {
        Layout.fillHeight: true
        Layout.maximumHeight: 40
    }
}
