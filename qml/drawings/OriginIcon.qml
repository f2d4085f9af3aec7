import QtQuick
import Discal.Drawings

// Where a butterfly came from: wild, a meadow's blades; reared, a chrysalis under its twig. On 24 x 24.
Item {
    id: origin

    property bool reared: false
    property color ink: "black"
    property real stroke: 1

    implicitWidth: 24
    implicitHeight: 24
    Accessible.ignored: true

    InkDrawing {
        anchors.fill: parent
        canvas: Qt.rect(0, 0, 24, 24)

        InkPath {
            line: origin.ink
            width: 2.5 * origin.stroke
            round: true
            path: origin.reared
                // twig; stalk; the case, hanging; the wing's edge through it
                ? "M 4.5 2.5 L 19.5 2.5 M 12 2.5 L 12 5 "
                + "M 12 5 C 15.5 6.2 18 9 18 12.2 C 18 16.4 15.4 20 12 22 "
                + "C 8.6 20 6 16.4 6 12.2 C 6 9 8.5 6.2 12 5 Z "
                + "M 6 12 C 11 12 14.4 14.6 14.8 19.4"
                // four blades of a meadow; the ground
                : "M 11.5 21 C 11.5 14 11 8 8.5 2.5 M 11.5 21 C 12 14.5 14 9 18.5 5.5 "
                + "M 11.5 21 C 10.5 16 7.5 12.5 3 11 M 11.5 21 C 12.5 17.5 16 14.2 21 14 M 4 21.5 L 20 21.5"
        }
    }
}
