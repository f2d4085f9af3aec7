import QtQuick
import Discal
import Discal.Drawings

// The outline of a key that takes no tap yet: by shape, not by a fainter colour, which the sun would take away.
InkDrawing {
    id: root

    // Within the pen's width
    readonly property real curve: Math.min(Theme.radius, height / 2) - 1
    readonly property real across: width - 2 - 2 * curve
    readonly property real down: height - 2 - 2 * curve

    canvas: Qt.rect(0, 0, width, height)

    InkPath {
        line: Theme.quiet
        width: 2
        dashes: [6, 6]
        path: "M " + (1 + root.curve) + " 1 h " + root.across + root.bend(1, 1) + " v " + root.down + root.bend(-1, 1)
              + " h " + -root.across + root.bend(-1, -1) + " v " + -root.down + root.bend(1, -1) + " Z"
    }

    // A quarter turn, right about, that leads so to the right and down
    function bend(right, down) {
        return " a " + curve + " " + curve + " 0 0 1 " + right * curve + " " + down * curve;
    }
}
