import QtQuick
import Discal.Drawings
import "Ink.js" as Ink

// The closed hindwing, left underside, head up: where the tag goes. The disc sits in the discal cell; `progress` fills
// the ring round it while she presses. Fits any rectangle and keeps its shape.
Item {
    id: plate

    property color ink: "black"
    property color fill: "lightgrey"
    property color cell: "white"
    property color disc: "gold"
    property color discInk: "black"
    property color ring: "indigo"
    property string letters: ""
    property string digits: ""
    property real progress: 0

    // one unit of the drawing in dp, and where the drawing's own corner lies
    readonly property real unit: Math.min(width / 312, height / 340)
    readonly property real originX: (width - 312 * unit) / 2
    readonly property real originY: (height - 340 * unit) / 2
    readonly property point discCentre: Qt.point(originX + 124 * unit, originY + 140 * unit)
    readonly property real discRadius: 42 * unit

    // a circle of 52.5 about the tag, clockwise from its top
    readonly property string ringPath: "M 124 97.5 A 52.5 52.5 0 0 1 124 202.5 A 52.5 52.5 0 0 1 124 97.5"
    readonly property real ringLength: 2 * Math.PI * 52.5

    implicitWidth: 312
    implicitHeight: 340
    Accessible.ignored: true

    InkDrawing {
        anchors.fill: parent
        canvas: Qt.rect(0, 10, 312, 340)

        // the wing: costa, apex, scalloped outer margin, tornus, anal margin
        InkPath {
            fill: plate.fill
            line: plate.ink
            width: 6.5
            round: true
            path: "M 24 58 C 29.8 47.3 37.3 39.8 48 34 C 64.6 25 79.3 20.6 98 18 C 120.8 14.8 139.1 15.1 162 18 "
                  + "C 185.6 20.9 203.9 25.2 226 34 C 244 41.2 257.5 49.1 272 62 C 282.8 71.7 288.9 82 294.8 95.3 "
                  + "C 299.9 106.9 299.9 117.3 301.9 129.8 C 303.9 143.1 307 153.5 306 166.8 "
                  + "C 305.2 178.4 300.6 186.8 297.1 197.9 C 293.3 209.6 291.7 219.5 285.7 230.3 "
                  + "C 280.1 240.1 272.8 245.7 265.5 254.3 C 257.7 263.4 252.7 271.7 243.5 279.4 "
                  + "C 235.3 286.3 226.8 288.8 217.6 294.4 C 208.8 299.8 203 305.8 193.5 309.9 "
                  + "C 183.7 314 175.1 314.1 164.8 317 C 155.6 319.6 148.9 323.8 139.4 325 "
                  + "C 129.6 326.2 121.9 323.7 112 323.6 C 103.7 323.5 97.1 326 88.9 324.3 "
                  + "C 80.2 322.4 74.5 317.7 66.6 313.7 C 59.4 310.2 53 308.6 47 303.3 "
                  + "C 40.6 297.6 37.1 291.5 33 284 C 26.6 272.2 21.4 262.9 18 250 C 13.4 232.4 11.9 218.2 11 200 "
                  + "C 9.8 176.6 10.5 158.4 12 135 C 13.1 118 15.4 104.9 18 88 C 19.7 77.1 21.4 68.7 24 58 Z"
        }
        // the dark border
        InkPath {
            fill: plate.ink
            path: "M 98 18 C 120.9 15.1 139.1 15.1 162 18 C 185.6 20.9 203.9 25.2 226 34 "
                  + "C 244 41.2 257.5 49.1 272 62 C 282.8 71.7 288.9 82 294.8 95.3 "
                  + "C 299.9 106.9 299.9 117.3 301.9 129.8 C 303.9 143.1 307 153.5 306 166.8 "
                  + "C 305.2 178.4 300.6 186.8 297.1 197.9 C 293.3 209.6 291.7 219.5 285.7 230.3 "
                  + "C 280.1 240.1 272.8 245.7 265.5 254.3 C 257.7 263.4 252.7 271.7 243.5 279.4 "
                  + "C 235.3 286.3 226.8 288.8 217.6 294.4 C 208.8 299.8 203 305.8 193.5 309.9 "
                  + "C 183.7 314 175.1 314.1 164.8 317 C 155.6 319.6 148.9 323.8 139.4 325 "
                  + "C 129.6 326.2 121.9 323.7 112 323.6 C 103.7 323.5 97.1 326 88.9 324.3 "
                  + "C 80.2 322.4 74.5 317.7 66.6 313.7 C 59.4 310.2 53 308.6 47 303.3 "
                  + "C 40.6 297.6 37.1 291.5 33 284 C 26.6 272.2 21.4 262.9 18 250 C 13.4 232.4 11.4 218.2 11 200 "
                  + "C 11.4 214.6 14 226.3 19.8 239.7 C 25.5 253.2 31.7 263.6 42.6 273.4 "
                  + "C 53.2 282.9 64 287.6 77.5 291.9 C 91.3 296.2 102.9 296.9 117.3 296.8 "
                  + "C 131.7 296.7 142.9 294.7 156.9 291.2 C 171 287.6 181.7 283.6 194.8 277.3 "
                  + "C 208 270.8 218.2 265.3 229.4 255.7 C 240.6 246.1 248.3 237.2 256.1 224.7 "
                  + "C 263.8 212.4 268.1 201.6 272.1 187.6 C 276 173.7 277.9 162.3 277.6 147.9 "
                  + "C 277.4 133.2 276.5 121.1 270.7 107.6 C 264.9 94.2 256.8 85.5 246.5 75.2 "
                  + "C 236.1 64.8 226.3 58.5 213.9 50.6 C 201.5 42.7 191.4 37 177.8 31.4 "
                  + "C 164.2 25.7 153.3 21.7 138.7 19.3 C 124.3 16.9 112.6 16.5 98 18 Z"
        }
        // veins: they spread where they meet the border
        InkPath {
            fill: plate.ink
            path: Ink.veins([
                [30, 62, 160, 34, 278, 95], // Sc+R1
                [158, 98, 232, 116, 292, 160], // Rs
                [197, 138, 240, 170, 274, 221], // M1
                [203, 172, 226, 212, 234, 267], // M2
                [184, 213, 197, 256, 190, 297], // M3
                [149, 224, 155, 270, 141, 312], // CuA1
                [97, 207, 107, 256, 91, 312], // CuA2
                [27, 70, 54, 200, 50, 296] // 1A+2A
            ], 7, 5, 13) + Ink.vein(26, 72, 36, 160, 14, 228, 6, 4.5, 4) // 3A
                + Ink.vein(68, 56, 58, 44, 58, 28, 5, 4.5, 7) // humeral
        }
        // the pale spots of the border
        InkPath {
            fill: plate.cell
            path: Ink.dots([
                [292, 115, 2.7], [296, 145, 2.7], [282, 116, 4], [286, 145, 4], [295, 181, 2.7],
                [285, 209, 2.7], [285, 178, 4], [276, 204, 4], [269, 238, 2.7], [251, 259, 2.7],
                [262, 232, 4], [245, 251, 4], [228, 280, 2.7], [205, 293, 2.7], [224, 271, 4], [202, 283, 4],
                [178, 306, 2.7], [155, 312, 2.7], [178, 296, 4], [155, 301, 4], [128, 317, 2.7],
                [107, 316, 2.7], [131, 307, 4], [111, 306, 4], [82, 313, 2.7], [64, 304, 2.7], [88, 305, 4],
                [71, 296, 4], [268, 78, 3.6], [252, 61, 3.2], [233, 47, 2.8]
            ])
        }
        // the stem of the radius and of the cubitus, from the wing's root to the cell
        InkPath {
            fill: plate.ink
            path: "M 22 55 L 44 58 C 54 70 66 74 90 74 C 66 78 57 86 54 114 C 50 100 46 92 42 86 "
                + "C 38 92 34 100 32 110 C 30 100 25 93 17 90 Z"
        }
        // the discal cell, closed by the crossveins M1-M2 and M2-M3
        InkPath {
            fill: plate.cell
            line: plate.ink
            width: 6.5
            round: true
            path: "M 44 80 C 62.3 76.1 77.4 75.5 96 78 C 120.8 81.3 141.4 83.4 163 96 "
                  + "C 180.2 106 189.7 120.4 199 138 C 204.7 148.9 205.4 159.9 203 172 "
                  + "C 199.8 188 195.6 201.6 184 213 C 174.8 222 162.9 224.4 150 224 "
                  + "C 130.3 223.3 112.5 222.2 97 210 C 77.2 194.5 67.5 175.3 58 152 C 48 127.5 43.9 106.4 44 80 "
                  + "Z"
        }
        // the track of the ring
        InkPath {
            line: plate.ink
            width: 3
            round: true
            dashes: [0.03, 9.6]
            path: plate.ringPath
        }
        // the tag
        InkPath {
            fill: plate.disc
            line: plate.ink
            width: 3.5
            path: "M 124 108 A 42 42 0 0 1 124 192 A 42 42 0 0 1 124 108 Z"
        }
    }
    // the ring, in a drawing of its own: it alone is painted while it fills
    InkDrawing {
        x: plate.discCentre.x - width / 2
        y: plate.discCentre.y - height / 2
        width: 120 * plate.unit
        height: 120 * plate.unit
        canvas: Qt.rect(64, 90, 120, 120)
        isShared: false

        InkPath {
            line: plate.progress > 0 ? plate.ring : "transparent"
            width: 9
            round: true
            dashes: [plate.ringLength * Math.min(1, plate.progress), plate.ringLength]
            path: plate.ringPath
        }
    }
    Text {
        Accessible.ignored: true
        x: plate.discCentre.x - width / 2
        y: plate.discCentre.y - 8 * plate.unit - baselineOffset
        text: plate.letters
        color: plate.discInk
        font.family: "Atkinson Hyperlegible Mono"
        font.weight: Font.DemiBold
        font.pixelSize: Math.max(1, Math.min(19, 74 / Math.max(1, plate.letters.length)) * plate.unit)
    }
    Text {
        Accessible.ignored: true
        x: plate.discCentre.x - width / 2
        y: plate.discCentre.y + 20 * plate.unit - baselineOffset
        text: plate.digits
        color: plate.discInk
        font.family: "Atkinson Hyperlegible Mono"
        font.weight: Font.ExtraBold
        font.pixelSize: Math.max(1, Math.min(34, 112 / Math.max(1, plate.digits.length)) * plate.unit)
    }
}
