import QtQuick
import QtQuick.Templates as T
import Discal

// A key: outlined, big, its words in the middle. Acts on release, and can be slid away from. One that takes no tap yet
// is plain and dashed, and as readable as the others.
T.AbstractButton {
    id: root

    // "main" is the one gold key of a page, "soft" what can be pressed but isn't the one thing, "plain" the rest
    property string tone: "plain"
    property string hint: ""
    property string glyph: ""
    property real size: root.tone === "main" ? Theme.headSize : Theme.bodySize
    property bool isChosen: false
    property int lines: Theme.textScale > 1.3 ? 6 : 3

    readonly property color ground: !enabled ? Theme.paper : tone === "main" ? Theme.gold : isChosen ? Theme.ink
                                  : tone === "soft" || down ? Theme.soft : Theme.paper
    readonly property color writing: !enabled ? Theme.quiet : tone === "main" ? Theme.onGold
                                   : isChosen ? Theme.paper : Theme.ink

    leftPadding: 12
    rightPadding: 12
    implicitWidth: Math.max(60, implicitContentWidth + leftPadding + rightPadding)
    implicitHeight: Math.max(tone === "main" ? Theme.mainHeight : Theme.keyHeight, implicitContentHeight + 20)
    Accessible.role: Accessible.Button
    Accessible.name: hint === "" ? text : text + ", " + hint
    Accessible.checkable: checkable
    Accessible.checked: isChosen

    background: Rectangle {
        radius: Theme.radius
        color: root.ground
        border.width: !root.enabled ? 0 : root.down || root.visualFocus ? Theme.outline + 1.5 : Theme.outline
        border.color: root.tone === "main" && Theme.night ? Theme.ink : Theme.line

        Loader {
            active: !root.enabled
            anchors.fill: parent
            sourceComponent: DashedOutline {}
        }
    }
    contentItem: Item {
        id: face
        // Measured apart: the natural width of a text that wraps hangs on its width.
        readonly property real natural: Math.ceil(measure.advanceWidth) + 2

        implicitWidth: natural + (icon.visible ? 32 : 0)
        implicitHeight: words.height

        TextMetrics {
            id: measure
            font.family: Theme.family
            font.weight: label.weight
            font.pixelSize: root.size
            text: root.text
        }
        Column {
            id: words
            width: parent.width
            anchors.verticalCenter: parent.verticalCenter

            Row {
                spacing: 8
                anchors.horizontalCenter: parent.horizontalCenter

                Glyph {
                    id: icon
                    visible: root.glyph !== ""
                    name: root.glyph
                    ink: root.writing
                    width: 24
                    height: 24
                    anchors.verticalCenter: parent.verticalCenter
                }
                FitWords {
                    id: label
                    text: root.text
                    size: root.size
                    room: words.width - (icon.visible ? 32 : 0)
                    weight: root.tone === "main" ? Font.ExtraBold : Font.DemiBold
                    color: root.writing
                    horizontalAlignment: Text.AlignHCenter
                    width: Math.min(face.natural, room)
                    maximumLineCount: root.lines
                    elide: Text.ElideRight
                    Accessible.ignored: true
                }
            }
            Text {
                id: hintLine
                visible: root.hint !== ""
                text: root.hint
                font.family: Theme.family
                font.pixelSize: Theme.smallSize
                font.weight: Font.DemiBold
                color: root.writing
                wrapMode: Text.Wrap
                horizontalAlignment: Text.AlignHCenter
                width: parent.width
                Accessible.ignored: true
            }
        }
    }
}
