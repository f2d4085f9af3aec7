import QtQuick
import Discal

// A key that stands for a tag: its code in the type of the tags, as large as it fits.
Key {
    id: root

    property real most: Theme.headSize

    leftPadding: 8
    rightPadding: 8
    implicitWidth: Math.max(60, Math.ceil(measure.advanceWidth) + leftPadding + rightPadding + 8)
    implicitHeight: Math.max(tone === "main" ? Theme.mainHeight : Theme.keyHeight, measure.height + 16)
    contentItem: Text {
        text: root.text
        font.family: Theme.codeFamily
        font.pixelSize: root.most
        fontSizeMode: Text.HorizontalFit
        minimumPixelSize: 14
        font.weight: Font.ExtraBold
        color: root.writing
        horizontalAlignment: Text.AlignHCenter
        verticalAlignment: Text.AlignVCenter
        Accessible.ignored: true

        TextMetrics {
            id: measure
            font.family: Theme.codeFamily
            font.pixelSize: root.most
            font.weight: Font.ExtraBold
            text: root.text
        }
    }
}
