import QtQuick
import Discal

// Words that may stand in a narrow place: where their longest one is wider than that, all become a little smaller.
// In a layout `room` must not come from it, or the two go round.
Words {
    id: root

    property real size: Theme.bodySize
    // Said here and not of the font, from which the size is read again
    property int weight: Font.DemiBold
    property real room: width
    // The height tells when the font has changed; a width that is asked for tells nothing. A space that doesn't break
    // holds its words together.
    readonly property real longest: metrics.height > 0
        ? text.split(/[ \n-]/).reduce((most, word) => Math.max(most, metrics.advanceWidth(word)), 1) + 2 : 0

    font.weight: weight
    font.pixelSize: longest > room && room > 0 ? Math.floor(Math.floor(size) * Math.max(0.5, room / longest)) : size

    FontMetrics {
        id: metrics
        font.family: Theme.family
        font.weight: root.weight
        font.pixelSize: root.size
    }
}
