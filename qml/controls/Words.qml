import QtQuick
import Discal

// Running text in the type of the house.
Text {
    font.family: Theme.family
    font.pixelSize: Theme.bodySize
    color: Theme.ink
    wrapMode: Text.Wrap
    textFormat: Text.PlainText
    Accessible.role: Accessible.StaticText
    Accessible.name: text
}
