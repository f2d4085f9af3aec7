import QtQuick
import Discal.Drawings
import "Ink.js" as Ink

// A butterfly held with its wings closed, seen from its left side, head up: the hindwing in front, the forewing's tip
// behind. Male: thin veins, the scent spot showing faintly through, claspers at the end of the abdomen. Female: broad
// veins, a plain end. Drawn on 280 x 220; fits any rectangle and keeps its shape.
Item {
    id: closed

    property bool male: false
    property color ink: "black"
    property color fill: "white"
    property real stroke: 1

    readonly property real outline: (male ? 4.2 : 5.2) * stroke
    readonly property real root: (male ? 3 : 7.2) * stroke
    readonly property real thin: (male ? 2.5 : 6) * stroke
    readonly property real tip: (male ? 4 : 10) * stroke

    implicitWidth: 140
    implicitHeight: 110
    Accessible.ignored: true

    InkDrawing {
        anchors.fill: parent
        canvas: Qt.rect(0, 0, 280, 220)

        // antennae, clubbed
        InkPath {
            line: closed.ink
            width: 3 * closed.stroke
            round: true
            path: "M 46 48 C 42 34 34 22 22 12 M 48 46 C 48 32 46 20 40 6"
        }
        InkPath {
            line: closed.ink
            width: 6 * closed.stroke
            round: true
            path: "M 24 14 L 19 9 M 41 8 L 38 3"
        }
        // legs, drawn up
        InkPath {
            line: closed.ink
            width: 3 * closed.stroke
            round: true
            path: "M 46 82 L 30 76 L 24 88 M 46 92 L 29 92 L 25 106 M 48 100 L 34 106 L 32 120"
        }
        // the forefinger, behind the wings
        InkPath {
            fill: closed.fill
            line: closed.ink
            width: 4.2 * closed.stroke
            path: "M 153 2 L 132 48 L 152 58 L 179 2"
        }
        // forewing: the wing
        InkPath {
            fill: closed.fill
            line: closed.ink
            width: closed.outline
            round: true
            path: "M 64 80 C 70.1 72.4 75.9 67.2 84 62 C 96.2 54.2 106.8 50 120 44 "
                  + "C 137.1 36.3 150.5 30.7 168 24 C 181.5 18.8 191.9 14.1 206 11 C 216.6 8.7 225.3 7.2 236 9 "
                  + "C 241 9.9 245.9 13 247 18 C 248.8 25.9 245.2 32.3 243 40 C 240.5 48.9 237.4 55.4 234 64 "
                  + "C 230.6 72.7 228.2 79.6 224 88 C 221 94.1 220.7 102.9 214 104 "
                  + "C 191.2 107.7 173 102.2 150 100 C 128.3 97.9 111.2 96.9 90 92 C 80 89.7 72.3 86.1 64 80 Z"
        }
        // forewing: the veins that show beyond the hindwing
        InkPath {
            fill: closed.ink
            path: Ink.veins([
                [66, 80, 130, 48, 202, 39], // R
                [140, 68, 196, 52, 220, 54], // M1
                [150, 82, 196, 68, 222, 72] // M2
            ], closed.root, closed.thin, closed.tip)
        }
        // forewing: the dark apex
        InkPath {
            fill: closed.ink
            path: "M 120 44 C 137.1 36.3 150.5 30.7 168 24 C 181.5 18.8 191.9 14.1 206 11 "
                  + "C 216.6 8.7 225.3 7.2 236 9 C 241 9.9 245.9 13 247 18 C 248.8 25.9 245.2 32.3 243 40 "
                  + "C 240.5 48.9 237.4 55.4 234 64 C 230.6 72.7 228.2 79.6 224 88 C 221 94.1 218.1 98.6 214 104 "
                  + "C 212.1 99.3 211.5 95.1 212 90 C 212.6 84 216.5 80 217 74 C 217.6 67.5 217.8 61.9 215 56 "
                  + "C 212.4 50.5 208.4 46.9 203 44 C 196.8 40.6 191.1 39.4 184 39 C 172.5 38.3 163.5 40.1 152 41 "
                  + "C 140.5 41.9 131.5 42.7 120 44 Z"
        }
        // forewing: the pale spots
        InkPath {
            fill: closed.fill
            path: Ink.dots([
                [239.7, 29.1, 2.1], [237.4, 36, 2.1], [234.2, 46.1, 2.1], [230.7, 54.8, 2.1],
                [226.4, 65.5, 2.1], [223.2, 73.8, 2.1],
                [180, 30, 3.2], [193, 29, 3.6], [205, 33, 3.8], [215, 42, 3.8]
            ])
        }
        // hindwing: the wing
        InkPath {
            fill: closed.fill
            line: closed.ink
            width: closed.outline
            round: true
            path: "M 66 82 C 68.1 77 71 73.3 75.5 70.3 C 82.4 65.5 88.7 62.9 96.9 60.9 "
                  + "C 106.8 58.4 115 57.7 125.2 57.9 C 135.8 58.1 144.1 59.1 154.3 62 "
                  + "C 162.6 64.3 168.9 67.2 175.9 72.2 C 181.2 76 184.4 80.3 187.6 85.9 "
                  + "C 190.4 90.8 190.9 95.4 192.3 100.9 C 193.8 106.6 195.7 111.1 195.9 117 "
                  + "C 196.1 122.2 194.4 126.1 193.4 131.2 C 192.2 136.6 192 141 189.8 146.1 "
                  + "C 187.8 150.7 184.9 153.5 182 157.6 C 179 162 177.2 165.9 173.5 169.8 "
                  + "C 170.1 173.2 166.5 174.7 162.7 177.6 C 159 180.4 156.7 183.3 152.7 185.6 "
                  + "C 148.6 187.9 144.8 188.3 140.4 190.1 C 136.4 191.7 133.7 193.8 129.5 194.8 "
                  + "C 125.2 195.8 121.7 195.1 117.3 195.5 C 113.6 195.8 110.8 197.2 107.1 196.8 "
                  + "C 103.2 196.4 100.4 194.6 96.7 193.2 C 93.4 191.9 90.5 191.5 87.6 189.5 "
                  + "C 84.5 187.3 82.7 184.7 80.5 181.6 C 77.1 176.7 74.4 172.8 72.3 167.3 "
                  + "C 69.4 159.7 68.1 153.4 66.9 145.4 C 65.2 135.2 64.7 127 64.3 116.6 "
                  + "C 63.9 109.1 64.4 103.1 64.7 95.6 C 65 90.7 65.3 86.9 66 82 Z"
        }
        // hindwing: the dark border
        InkPath {
            fill: closed.ink
            path: "M 125.2 57.9 C 135.8 57.9 144.1 59.1 154.3 62 C 162.6 64.3 168.9 67.2 175.9 72.2 "
                  + "C 181.2 76 184.4 80.3 187.6 85.9 C 190.4 90.8 190.9 95.4 192.3 100.9 "
                  + "C 193.8 106.6 195.7 111.1 195.9 117 C 196.1 122.2 194.4 126.1 193.4 131.2 "
                  + "C 192.2 136.6 192 141 189.8 146.1 C 187.8 150.7 184.9 153.5 182 157.6 "
                  + "C 179 162 177.2 165.9 173.5 169.8 C 170.1 173.2 166.5 174.7 162.7 177.6 "
                  + "C 159 180.4 156.7 183.3 152.7 185.6 C 148.6 187.9 144.8 188.3 140.4 190.1 "
                  + "C 136.4 191.7 133.7 193.8 129.5 194.8 C 125.2 195.8 121.7 195.1 117.3 195.5 "
                  + "C 113.6 195.8 110.8 197.2 107.1 196.8 C 103.2 196.4 100.4 194.6 96.7 193.2 "
                  + "C 93.4 191.9 90.5 191.5 87.6 189.5 C 84.5 187.3 82.7 184.7 80.5 181.6 "
                  + "C 77.1 176.7 74.4 172.8 72.3 167.3 C 69.4 159.7 67.9 153.5 66.9 145.4 "
                  + "C 68.6 152.8 71.3 158.5 76.1 164.4 C 81 170.3 86 174.2 93 177.5 "
                  + "C 99.7 180.7 105.8 181.9 113.3 181.9 C 120.8 181.9 126.7 180.2 133.9 177.7 "
                  + "C 141 175.1 146.3 172.2 152.5 167.8 C 158.7 163.4 163.3 159.5 168 153.5 "
                  + "C 172.7 147.6 175.9 142.3 178.4 135.1 C 180.9 127.9 181.9 121.8 181.5 114.1 "
                  + "C 181 106.4 179.3 100.4 175.8 93.5 C 172.3 86.7 167.8 82.3 162.4 76.9 "
                  + "C 156.9 71.5 152.4 67.3 145.5 63.8 C 138.7 60.3 132.8 58.6 125.2 57.9 Z"
        }
        // hindwing: the veins
        InkPath {
            fill: closed.ink
            path: Ink.veins([
                [69, 83, 125, 65, 184, 87], // Sc+R1
                [127, 96, 161, 98, 191, 115], // Rs
                [141, 109, 167, 122, 186, 143], // M1
                [145, 122, 163, 141, 170, 166], // M2
                [139, 137, 152, 162, 150, 182], // M3
                [128, 142, 134, 170, 128, 191], // CuA1
                [109, 138, 114, 166, 107, 193], // CuA2
                [68, 85, 87, 143, 89, 186] // 1A+2A
            ], closed.root, closed.thin, closed.tip)
        }
        // hindwing: the discal cell
        InkPath {
            fill: closed.fill
            line: closed.ink
            width: closed.root
            round: true
            path: "M 78.7 92.3 C 86.8 91.7 93.1 91.8 101.1 92.6 C 110.4 93.6 118 93.6 126.7 97.1 "
                  + "C 132.9 99.7 137.3 103.5 141.3 109 C 144.2 112.9 145.3 117.2 144.9 122 "
                  + "C 144.5 127.9 143.2 132.9 139.4 137.4 C 136.4 140.7 132.2 141.6 127.8 141.7 "
                  + "C 120.8 142 114.5 142.1 108.6 138.4 C 100.7 133.3 96.5 126.6 91.3 118.7 "
                  + "C 85.6 109.9 82 102.3 78.7 92.3 Z"
        }
        // hindwing: the pale spots of the border
        InkPath {
            fill: closed.fill
            path: Ink.dots([
                [184.1, 96.7, 2.1], [187.4, 109.1, 2.1], [187.8, 124.4, 2.1], [185.4, 135.9, 2.1],
                [179.7, 149.1, 2.1], [173.3, 158.2, 2.1], [164.1, 168.2, 2.1], [155.5, 174.4, 2.1],
                [144.7, 181.3, 2.1], [135.4, 184.7, 2.1], [124.3, 188.4, 2.1], [115.6, 188.6, 2.1],
                [104.9, 189.1, 2.1], [97.1, 185.9, 2.1]
            ])
        }
        // male: the scent spot, showing through on CuA2
        InkPath {
            fill: closed.male ? Qt.rgba(closed.ink.r, closed.ink.g, closed.ink.b, 0.62) : "transparent"
            path: "M 113 156 C 118 156 121 160 120 166 C 119 173 113 177 108 175 "
                + "C 103 173 102 167 104 162 C 106 158 109 156 113 156 Z"
        }
        // a pale line between body and wing
        InkPath {
            line: closed.fill
            width: 5
            path: "M 58 64 C 64 68 68 75 69 84 C 70 94 66 100 62 105 C 65 122 62 148 57 166"
        }
        // head, thorax, abdomen
        InkPath {
            fill: closed.ink
            path: "M 47 45 C 53 44 58 48 58 54 C 58 58 57 60 55 62 C 62 66 68 74 69 84 C 70 94 66 100 62 105 "
                + "C 65 122 62 148 57 166 C 54 178 52 185 48 185 C 44 185 42 177 42 167 C 41 148 41 124 46 106 "
                + "C 41 98 39 84 44 68 C 40 64 37 59 38 54 C 39 49 43 45.5 47 45 Z"
        }
        // the abdomen's rings, the eye and the spots of the thorax
        InkPath {
            line: closed.fill
            width: 2
            round: true
            path: "M 48 121 C 52 123 56 123 59 121 M 47 135 C 51 137 55 137 58 135 "
                + "M 47 149 C 50 151 53 151 56 149 M 47 162 C 49 164 51 164 53 162"
        }
        InkPath {
            fill: closed.fill
            path: Ink.dots([[46, 54, 2.6], [51, 74, 1.9], [58, 80, 1.9], [50, 88, 1.9], [57, 94, 1.9]])
        }
        // male: the claspers
        InkPath {
            line: closed.male ? closed.ink : "transparent"
            width: 4 * closed.stroke
            round: true
            path: "M 45 182 C 38 187 37 196 43 201 M 51 182 C 58 187 59 196 53 201"
        }
        // the thumb, before the wings
        InkPath {
            fill: closed.fill
            line: closed.ink
            width: 4.2 * closed.stroke
            path: "M 106 2 L 91 37 C 83 57 95 71 108 69 C 120 68 126 61 130 52 L 153 2"
        }
        // its nail
        InkPath {
            line: closed.ink
            width: 3 * closed.stroke
            round: true
            path: "M 95 54 L 100 41 C 103 34 109 33.5 114 35.5 "
                + "C 120 38 123.5 42 121 49 L 116 61 C 109 65 98 61 95 54 Z"
        }
    }
}
