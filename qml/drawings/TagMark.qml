import QtQuick
import Discal.Drawings

// What became of a tag, as a mark alike everywhere. `fate`: free, on, next, spoiled, paper, missing, given, held,
// elsewhere, unclear. Told apart by shape alone, down to 8 px; "next" stands a little beyond its rectangle.
Item {
    id: mark

    property string fate: "free"
    property color ink: "black"
    property color paper: "white"
    property color gold: "gold"

    readonly property bool bare: fate === "spoiled" || fate === "missing"

    // in a box of 16; `lines` are drawn with the pen, `solid` is filled
    readonly property var lines: ({
            "free": "M 14 8 A 6 6 0 1 1 2 8 A 6 6 0 1 1 14 8 Z",
            "next": "M 18 8 A 10 10 0 1 1 -2 8 A 10 10 0 1 1 18 8 Z",
            "spoiled": "M 2.6 2.6 L 13.4 13.4 M 13.4 2.6 L 2.6 13.4", // a cross
            "missing": "M 2 8 L 14 8", // a gap in the row
            "held": "M 14 8 A 6 6 0 1 1 2 8 A 6 6 0 1 1 14 8 Z",
            "unclear": "M 8 2 A 6 6 0 0 1 14 8 M 8 14 A 6 6 0 0 1 2 8", // a broken ring
            "elsewhere": "M 3.6 1.8 L 12.4 1.8 L 12.4 14.2 L 3.6 14.2 Z" // the outline of a phone
        })
    readonly property var solid: ({
            "on": "M 15.4 8 A 7.4 7.4 0 1 1 0.6 8 A 7.4 7.4 0 1 1 15.4 8 Z",
            "next": "M 14.2 8 A 6.2 6.2 0 1 1 1.8 8 A 6.2 6.2 0 1 1 14.2 8 Z",
            "paper": "M 0 2 L 16 2 L 16 6 L 0 6 Z M 0 10 L 16 10 L 16 14 L 0 14 Z", // written lines
            "given": "M 2.4 0.6 L 15.4 8 L 2.4 15.4 Z", // it went on
            "held": "M 14 8 A 6 6 0 0 1 2 8 Z" // half way: on a butterfly, not let go
        })

    implicitWidth: 16
    implicitHeight: 16
    Accessible.ignored: true

    InkDrawing {
        anchors.centerIn: parent
        width: mark.width * 24 / 16
        height: mark.height * 24 / 16
        canvas: Qt.rect(-4, -4, 24, 24)

        InkPath {
            fill: mark.bare || mark.fate === "unclear" ? "transparent" : mark.paper
            line: mark.lines[mark.fate] ? mark.ink : "transparent"
            width: mark.bare ? 4 : 3.6
            round: mark.fate !== "missing" && mark.fate !== "elsewhere"
            path: mark.lines[mark.fate] ?? ""
        }
        InkPath {
            fill: mark.fate === "next" ? mark.gold : mark.ink
            path: mark.solid[mark.fate] ?? ""
        }
    }
}
