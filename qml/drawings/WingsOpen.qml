pragma ComponentBehavior: Bound

import QtQuick
import Discal.Drawings
import "Ink.js" as Ink

// A butterfly spread, from above. Male: thin veins and a scent spot on CuA2 of each hindwing. Female: broad veins, no
// spot. Drawn on 280 x 206; fits any rectangle and keeps its shape.
Item {
    id: open

    property bool male: false
    property color ink: "black"
    property color fill: "white"
    property real stroke: 1

    readonly property real outline: (male ? 4.2 : 5.2) * stroke
    readonly property real root: (male ? 3 : 6.6) * stroke
    readonly property real thin: (male ? 2.5 : 5.6) * stroke
    readonly property real tip: (male ? 4 : 9.5) * stroke

    implicitWidth: 140
    implicitHeight: 103
    Accessible.ignored: true

    // x runs outwards from the middle of the body
    InkDrawing {
        anchors.fill: parent
        canvas: Qt.rect(-140, 10, 280, 206)

        // hindwing: the wing
        InkPath {
            mirrored: true
            fill: open.fill
            line: open.ink
            width: open.outline
            round: true
            path: "M 4 93 C 6 88.7 8.8 85.7 12.8 83.2 C 19.1 79.4 24.7 77.4 31.9 76 "
                  + "C 40.6 74.3 47.7 74.1 56.7 74.7 C 65.8 75.4 73.1 76.6 81.8 79.6 "
                  + "C 88.9 82 94.3 84.8 100.2 89.5 C 104.6 93 107.1 96.9 109.7 101.9 "
                  + "C 111.9 106.3 112.1 110.4 113.1 115.2 C 114.2 120.3 115.6 124.2 115.5 129.4 "
                  + "C 115.4 134 113.8 137.3 112.6 141.6 C 111.4 146.3 111 150.1 108.9 154.4 "
                  + "C 106.9 158.4 104.2 160.7 101.6 164.1 C 98.7 167.8 97 171.1 93.6 174.3 "
                  + "C 90.5 177.2 87.3 178.3 83.8 180.7 C 80.5 182.9 78.4 185.4 74.8 187.1 "
                  + "C 71.1 189 67.7 189.2 63.8 190.5 C 60.3 191.7 57.8 193.5 54.2 194.1 "
                  + "C 50.4 194.8 47.3 194 43.5 194.1 C 40.3 194.2 37.8 195.4 34.6 194.9 "
                  + "C 31.2 194.3 28.9 192.6 25.7 191.2 C 22.8 190 20.3 189.5 17.9 187.6 "
                  + "C 15.3 185.5 13.8 183.2 12.1 180.4 C 9.4 176 7.2 172.5 5.6 167.5 "
                  + "C 3.4 160.8 2.6 155.3 1.8 148.3 C 0.9 139.3 0.8 132.2 0.9 123.1 "
                  + "C 1 116.5 1.6 111.3 2.3 104.7 C 2.7 100.5 3.2 97.2 4 93 Z"
        }
        // hindwing: the dark border
        InkPath {
            mirrored: true
            fill: open.ink
            path: "M 81.8 79.6 C 88.9 81.9 94.3 84.8 100.2 89.5 C 104.6 93 107.1 96.9 109.7 101.9 "
                  + "C 111.9 106.3 112.1 110.4 113.1 115.2 C 114.2 120.3 115.6 124.2 115.5 129.4 "
                  + "C 115.4 134 113.8 137.3 112.6 141.6 C 111.4 146.3 111 150.1 108.9 154.4 "
                  + "C 106.9 158.4 104.2 160.7 101.6 164.1 C 98.7 167.8 97 171.1 93.6 174.3 "
                  + "C 90.5 177.2 87.3 178.3 83.8 180.7 C 80.5 182.9 78.4 185.4 74.8 187.1 "
                  + "C 71.1 189 67.7 189.2 63.8 190.5 C 60.3 191.7 57.8 193.5 54.2 194.1 "
                  + "C 50.4 194.8 47.3 194 43.5 194.1 C 40.3 194.2 37.8 195.4 34.6 194.9 "
                  + "C 31.2 194.3 28.9 192.6 25.7 191.2 C 22.8 190 20.3 189.5 17.9 187.6 "
                  + "C 15.3 185.5 13.8 183.2 12.1 180.4 C 9.4 176 7.2 172.5 5.6 167.5 "
                  + "C 3.4 160.8 2.4 155.3 1.8 148.3 C 3 154.1 5 158.6 8.5 163.4 "
                  + "C 12.1 168.2 16.2 170.9 21.1 174.4 C 26.1 177.8 30 180.8 35.8 182.2 "
                  + "C 41.5 183.6 46.3 182.8 52.1 181.8 C 58 180.7 62.5 179.1 68 176.4 "
                  + "C 73.4 173.8 77.4 171.2 81.9 167.3 C 86.4 163.4 89.6 159.8 93 154.9 "
                  + "C 96.2 150 98.4 145.8 100.1 140.1 C 101.8 134.4 102.6 129.7 102.3 123.8 "
                  + "C 102 117.8 100.4 113.2 98.5 107.5 C 96.7 101.8 95.1 97.3 92 92.2 "
                  + "C 89 87.2 86.1 83.6 81.8 79.6 Z"
        }
        // hindwing: the veins
        InkPath {
            mirrored: true
            fill: open.ink
            path: Ink.veins([
                [6, 94, 56, 81, 107, 103], // Sc+R1
                [56, 108, 86, 111, 111, 128], // Rs
                [70, 121, 90, 132, 105, 151], // M1
                [71, 131, 85, 149, 91, 171], // M2
                [65, 145, 75, 166, 73, 184], // M3
                [55, 148, 59, 172, 53, 191], // CuA1
                [39, 144, 42, 168, 35, 191], // CuA2
                [5, 96, 19, 147, 19, 185] // 1A+2A
            ], open.root, open.thin, open.tip)
        }
        // hindwing: the discal cell
        InkPath {
            mirrored: true
            fill: open.fill
            line: open.ink
            width: open.root
            round: true
            path: "M 14.6 102.5 C 21.6 102.4 27.1 102.8 34.1 103.9 C 42.1 105.1 48.8 105.5 56.1 108.9 "
                  + "C 61.5 111.4 65.1 115 68.4 119.9 C 70.7 123.5 71.4 127.2 70.9 131.5 "
                  + "C 70.3 136.5 68.9 140.9 65.4 144.6 C 62.7 147.4 58.9 147.9 55.1 147.8 "
                  + "C 49 147.7 43.5 147.6 38.5 144 C 31.8 139.3 28.5 133.2 24.4 126.1 "
                  + "C 19.8 118.2 17 111.4 14.6 102.5 Z"
        }
        // hindwing: the pale spots of the border
        InkPath {
            mirrored: true
            fill: open.fill
            path: Ink.dots([
                [106.2, 112.1, 1.9], [108.5, 122.9, 1.9], [107.8, 136.3, 1.9], [105.1, 146.3, 1.9],
                [99.2, 157.3, 1.9], [93.5, 164.7, 1.9], [85, 172.7, 1.9], [77.3, 177.8, 1.9],
                [67.6, 183.1, 1.9], [59.4, 185.6, 1.9], [49.6, 188.2, 1.9], [42.1, 188, 1.9],
                [32.8, 187.8, 1.9], [26.2, 184.7, 1.9]
            ])
        }
        // hindwing of a male: the scent spot, on the inner side of CuA2
        InkPath {
            mirrored: true
            fill: open.male ? open.ink : "transparent"
            path: "M 38.5 152 C 44.5 152 47 158 46 164.5 C 44.8 172 39.5 177 34.5 175 "
                + "C 29.5 173 28.6 166.5 30.2 161 C 31.6 156 34.5 152 38.5 152 Z"
        }
        // forewing: the wing
        InkPath {
            mirrored: true
            fill: open.fill
            line: open.ink
            width: open.outline
            round: true
            path: "M 4 82 C 13.1 75.2 20.4 70.2 30 64 C 42.8 55.8 52.9 49.7 66 42 C 78.1 34.9 87.4 29.2 100 23 "
                  + "C 107.6 19.3 113.7 16.1 122 14.5 C 125.9 13.7 129.8 14 133 16.5 "
                  + "C 135.9 18.8 137 22.4 136.5 26 C 135.5 34 131.8 39.5 129 47 C 126.4 54.2 124 59.7 121.5 67 "
                  + "C 119.4 73.1 118.1 77.9 116 84 C 114.6 88 114.2 91.4 112 95 "
                  + "C 110 98.2 108.2 101.7 104.5 102.5 C 95.9 104.4 88.8 102.5 80 102 "
                  + "C 67.4 101.3 57.6 100 45 99 C 35.3 98.2 27.7 97.9 18 97 C 12.9 96.5 9 95.9 4 95 "
                  + "C 4 90.3 4 86.7 4 82 Z"
        }
        // forewing: the veins
        InkPath {
            mirrored: true
            fill: open.ink
            path: Ink.veins([
                [78, 53, 100, 46, 130, 40], // M1
                [83, 62, 104, 60, 121, 58], // M2
                [79, 74, 100, 76, 115, 75], // M3
                [64, 82, 90, 88, 110, 89], // CuA1
                [42, 86, 74, 95, 104, 98] // CuA2
            ], open.root, open.thin, open.tip)
                + Ink.vein(5, 90, 40, 92, 66, 101, open.thin * 0.7, open.thin * 0.7, open.thin) // 1A+2A
        }
        // forewing: the dark apex and border
        InkPath {
            mirrored: true
            fill: open.ink
            path: "M 4 82 C 13.1 75.2 20.4 70.2 30 64 C 42.8 55.8 52.9 49.7 66 42 C 78.1 34.9 87.4 29.2 100 23 "
                  + "C 107.6 19.3 113.7 16.1 122 14.5 C 125.9 13.7 129.8 14 133 16.5 "
                  + "C 135.9 18.8 137 22.4 136.5 26 C 135.5 34 131.8 39.5 129 47 C 126.4 54.2 124 59.7 121.5 67 "
                  + "C 119.4 73.1 118.1 77.9 116 84 C 114.6 88 114.2 91.4 112 95 "
                  + "C 110 98.2 108.2 101.7 104.5 102.5 C 95.9 104.4 88.5 104.2 80 102 "
                  + "C 87.4 104 94.8 102.6 101 98 C 105.1 94.9 102.7 89 104 84 C 105.3 78.9 106.9 75.1 108 70 "
                  + "C 108.7 66.8 110.8 63.7 109 61 C 106.5 57.2 101.4 58 98 55 C 95.1 52.4 95.6 47.6 92 46 "
                  + "C 88.6 44.5 85.6 47.3 82 48 C 77.7 48.8 74.1 48.4 70 50 C 59.5 54.2 51.9 58.5 42 64 "
                  + "C 31.7 69.7 24.7 76 14 81 C 10.7 82.5 7.5 82.9 4 82 Z"
        }
        // forewing: the discal cell, closed
        InkPath {
            mirrored: true
            fill: open.fill
            line: open.ink
            width: open.root
            round: true
            path: "M 6 85 C 18.7 77.1 28.8 71.2 42 64 C 51.9 58.6 59.1 52.9 70 50 C 73.7 49 77.2 51.4 80 54 "
                  + "C 82.6 56.4 84.7 59.5 84 63 C 82.7 69.5 80.1 74.8 75 79 C 70 83 64.3 82.7 58 84 "
                  + "C 48 86 40.2 87.8 30 88 C 21.3 88.2 14.4 87.3 6 85 Z"
        }
        // forewing: the pale spots, the larger ones before the apex
        InkPath {
            mirrored: true
            fill: open.fill
            path: Ink.dots([
                [128.8, 32, 1.7], [125.7, 39.4, 1.7], [122.2, 48, 1.7], [119.9, 54, 1.7], [116.9, 62, 1.7],
                [114.6, 68.7, 1.7], [112.2, 76.5, 1.7], [110.3, 82, 1.7], [108.2, 89, 1.7],
                [105.7, 93.9, 1.7],
                [97, 36, 3], [106, 38, 3.4], [112, 47, 3.4]
            ])
        }
        // antenna, clubbed
        InkPath {
            mirrored: true
            line: open.ink
            width: 3 * open.stroke
            round: true
            path: "M 3 66 C 8 50 16 36 28 24"
        }
        InkPath {
            mirrored: true
            line: open.ink
            width: 6 * open.stroke
            round: true
            path: "M 26 26 L 31 21"
        }
        // head, thorax and abdomen, kept off the wings by a pale line
        InkPath {
            line: open.fill
            width: 6
            round: true
            path: "M 5 77 C 9 81 10.5 87 10 93 C 9.5 99 8 102 6 105 C 8.5 113 8.5 130 7 144 "
                + "C 6 156 4 167 0 167 C -4 167 -6 156 -7 144 C -8.5 130 -8.5 113 -6 105 "
                + "C -8 102 -9.5 99 -10 93 C -10.5 87 -9 81 -5 77"
        }
        InkPath {
            fill: open.ink
            path: "M 0 62.5 C 4.5 62.5 7.5 66 7.5 70 C 7.5 73 6 75.5 5 77 "
                + "C 9 81 10.5 87 10 93 C 9.5 99 8 102 6 105 "
                + "C 8.5 113 8.5 130 7 144 C 6 156 4 167 0 167 "
                + "C -4 167 -6 156 -7 144 C -8.5 130 -8.5 113 -6 105 C -8 102 -9.5 99 -10 93 "
                + "C -10.5 87 -9 81 -5 77 C -6 75.5 -7.5 73 -7.5 70 C -7.5 66 -4.5 62.5 0 62.5 Z"
        }
    }
}
