import QtQuick
import Discal.Drawings
import "Ink.js" as Ink

// A line icon on 24 x 24. It only ever stands beside its word. `name`: tick, clock, triangle, undo, cage, share, place, map,
// person, sheet, moon, sun, camera, speaker, back, more, plus, phone-only.
Item {
    id: glyph

    property string name: ""
    property color ink: "black"
    property real stroke: 1

    readonly property var lines: ({
            "tick": "M 3.5 12.5 L 9.5 18.5 L 20.5 6",
            "clock": Ink.dots([[12, 12, 9.5]]) + "M 12 6.5 L 12 12 L 16 14.5",
            "triangle": "M 12 3 L 22 20.5 L 2 20.5 Z M 12 9.8 L 12 14",
            "undo": "M 8 3.5 L 3 8.5 L 8 13.5 "
                  + "M 3 8.5 L 14.5 8.5 C 18.5 8.5 21 11 21 14.5 C 21 18 18.5 20.5 14.5 20.5 L 8 20.5",
            "cage": "M 3.5 21 L 3.5 10.5 C 3.5 6 7 3 12 3 C 17 3 20.5 6 20.5 10.5 L 20.5 21 Z "
                  + "M 9.2 4 L 9.2 21 M 14.8 4 L 14.8 21",
            "share": "M 12 2.5 L 12 15 M 7 7.5 L 12 2.5 L 17 7.5 M 4 13 L 4 21 L 20 21 L 20 13",
            "place": "M 5.5 21.5 L 5.5 2.5 L 20 7.5 L 5.5 12.5",
            "map": "M 2.5 6 L 8.8 3.5 L 15.2 6 L 21.5 3.5 L 21.5 18 L 15.2 20.5 L 8.8 18 L 2.5 20.5 Z "
                 + "M 8.8 3.5 L 8.8 18 M 15.2 6 L 15.2 20.5",
            "person": Ink.dots([[12, 7.3, 4.3]]) + "M 3.5 21.5 C 3.5 17 7 14.8 12 14.8 C 17 14.8 20.5 17 20.5 21.5",
            "sheet": "M 4.5 2.5 L 19.5 2.5 L 19.5 21.5 L 4.5 21.5 Z",
            "moon": "M 20 14.6 C 13.6 17 7.4 11.4 9.6 3.8 C 5.6 5.2 3 8.6 3 12.4 "
                  + "C 3 17.2 6.9 21 11.7 21 C 15.6 21 18.7 18.5 20 14.6 Z",
            "sun": Ink.dots([[12, 12, 4.2]]) + "M 12 1.8 L 12 3.8 M 12 20.2 L 12 22.2 M 1.8 12 L 3.8 12 "
                 + "M 20.2 12 L 22.2 12 M 4.8 4.8 L 6.2 6.2 M 17.8 17.8 L 19.2 19.2 "
                 + "M 4.8 19.2 L 6.2 17.8 M 17.8 6.2 L 19.2 4.8",
            "camera": Ink.dots([[12, 13.2, 3.5]]) + "M 2.5 7.5 L 7 7.5 L 9 4.5 L 15 4.5 L 17 7.5 "
                    + "L 21.5 7.5 L 21.5 19.5 L 2.5 19.5 Z",
            "speaker": "M 2.5 9.3 L 6.5 9.3 L 11.5 4.5 L 11.5 19.5 L 6.5 14.7 L 2.5 14.7 Z "
                     + "M 15.2 8.8 C 17 10.6 17 13.4 15.2 15.2 M 18.4 5.6 C 22 9.2 22 14.8 18.4 18.4",
            "back": "M 15 3.5 L 6.5 12 L 15 20.5",
            "plus": "M 12 3.5 L 12 20.5 M 3.5 12 L 20.5 12",
            "phone-only": "M 6 2 L 18 2 L 18 22 L 6 22 Z M 11 18 L 13 18"
        })
    readonly property var dots: ({
            "triangle": Ink.dots([[12, 17.4, 1.5]]),
            "sheet": Ink.dots([[9, 8, 1.7], [15, 8, 1.7], [9, 12.5, 1.7], [15, 12.5, 1.7], [9, 17, 1.7]]),
            "more": Ink.dots([[4.5, 12, 2.2], [12, 12, 2.2], [19.5, 12, 2.2]])
        })

    implicitWidth: 24
    implicitHeight: 24
    Accessible.ignored: true

    InkDrawing {
        anchors.fill: parent
        canvas: Qt.rect(0, 0, 24, 24)
        // Where lines run from the right, what was lies on the right
        transform: Scale {
            origin.x: glyph.width / 2
            xScale: glyph.LayoutMirroring.enabled && (glyph.name === "back" || glyph.name === "undo") ? -1 : 1
        }

        InkPath {
            line: glyph.ink
            width: 2.5 * glyph.stroke
            round: true
            path: glyph.lines[glyph.name] ?? ""
        }
        InkPath {
            fill: glyph.ink
            path: glyph.dots[glyph.name] ?? ""
        }
    }
}
