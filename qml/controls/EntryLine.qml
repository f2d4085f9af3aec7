import QtQuick
import QtQuick.Layouts
import QtQuick.Templates as T
import Discal

// A word and what is typed for it, in one line; above each other where text is large.
GridLayout {
    id: root

    required property string label
    required property string value
    property string placeholder: ""
    property bool isCode: false
    property int hints: Qt.ImhNone
    signal typed(string text)

    columns: Theme.textScale > 1.3 ? 1 : 2
    columnSpacing: Theme.gap
    rowSpacing: 4
    Layout.fillWidth: true

    FitWords {
        text: root.label
        room: root.columns === 1 ? root.width : 92
        Layout.preferredWidth: root.columns === 1 ? root.width : 92
        Accessible.ignored: true
    }
    T.TextField {
        id: field
        text: root.value
        leftPadding: 14
        rightPadding: 14
        inputMethodHints: root.hints
        font.family: root.isCode ? Theme.codeFamily : Theme.family
        font.pixelSize: Theme.bodySize
        font.weight: Font.DemiBold
        color: Theme.ink
        selectionColor: Theme.ink
        selectedTextColor: Theme.paper
        verticalAlignment: TextInput.AlignVCenter
        implicitHeight: Math.max(Theme.keyHeight - 4, contentHeight + 20)
        Layout.fillWidth: true
        Accessible.role: Accessible.EditableText
        Accessible.name: root.label
        onTextEdited: root.typed(text)
        background: Rectangle {
            radius: Theme.radius
            color: Theme.paper
            border.width: field.activeFocus ? Theme.outline + 1.5 : Theme.outline
            border.color: field.activeFocus ? Theme.aster : Theme.line

            Words {
                visible: field.text === ""
                text: root.placeholder
                color: Theme.quiet
                wrapMode: Text.NoWrap
                elide: Text.ElideRight
                x: 14
                width: parent.width - 28
                anchors.verticalCenter: parent.verticalCenter
                Accessible.ignored: true
            }
        }
    }
}
