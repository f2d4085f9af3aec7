import QtQuick
import QtQuick.Layouts
import QtQuick.Templates as T
import Discal

// A line to write on, under its own name. The keyboard is the system's; what is written goes out with every stroke.
Item {
    id: root

    required property string label
    // Or it is said elsewhere on the page
    property bool isLabelShown: true
    property string value: ""
    // Shown while nothing is written: a form to follow, or what belongs here
    property string example: ""
    property string prompt: example === "" ? "" : qsTr("such as %1").arg(example)
    property bool isCode: false
    property int hints: Qt.ImhNoPredictiveText
    property int most: 80
    signal edited(string text)

    implicitHeight: column.implicitHeight
    Layout.fillWidth: true

    // A positioner: a layout of Qt 6.4 keeps the height that words had before they were wrapped
    Column {
        id: column
        spacing: 4
        width: root.width

        Words {
            text: root.label
            visible: root.label !== "" && root.isLabelShown
            font.weight: Font.DemiBold
            width: root.width
            Accessible.ignored: true
        }
        T.TextField {
            id: input
            text: root.value
            maximumLength: root.most
            inputMethodHints: root.hints
            leftPadding: 14
            rightPadding: 14
            topPadding: 8
            bottomPadding: 8
            implicitHeight: Math.max(Theme.keyHeight, contentHeight + topPadding + bottomPadding)
            verticalAlignment: TextInput.AlignVCenter
            font.family: root.isCode ? Theme.codeFamily : Theme.family
            font.pixelSize: root.isCode ? Theme.headSize : Theme.bodySize
            font.weight: root.isCode ? Font.ExtraBold : Font.DemiBold
            font.capitalization: root.isCode ? Font.AllUppercase : Font.MixedCase
            color: Theme.ink
            selectionColor: Theme.aster
            selectedTextColor: Theme.paper
            selectByMouse: true
            // Left alone, it shows how it begins
            autoScroll: activeFocus
            width: root.width
            Accessible.role: Accessible.EditableText
            Accessible.name: root.label === "" ? root.prompt : root.label
            Accessible.description: root.prompt
            onTextEdited: root.edited(text)

            background: Rectangle {
                radius: Theme.radius
                color: Theme.paper
                border.width: input.activeFocus ? Theme.outline + 1.5 : Theme.outline
                border.color: input.activeFocus ? Theme.aster : Theme.line
            }

            Text {
                visible: input.text === "" && input.preeditText === ""
                text: root.prompt
                font.family: Theme.family
                font.pixelSize: Theme.bodySize
                color: Theme.quiet
                fontSizeMode: Text.HorizontalFit
                minimumPixelSize: 12
                verticalAlignment: Text.AlignVCenter
                anchors.fill: parent
                anchors.leftMargin: input.leftPadding
                anchors.rightMargin: input.rightPadding
                Accessible.ignored: true
            }
        }
    }
}
