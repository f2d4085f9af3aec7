import QtQuick
import QtQuick.Shapes
import Discal

// The outline of a key that takes no tap yet: by shape, not by a fainter colour, which the sun would take away.
Shape {
    id: root

    // Within the pen's width
    readonly property real near: 1
    readonly property real curve: Math.min(Theme.radius, height / 2) - near

    ShapePath {
        fillColor: "transparent"
        strokeColor: Theme.quiet
        strokeWidth: 2
        strokeStyle: ShapePath.DashLine
        dashPattern: [3, 3]
        capStyle: ShapePath.FlatCap
        startX: root.near + root.curve
        startY: root.near

        PathLine {
            x: root.width - root.near - root.curve
            y: root.near
        }
        PathArc {
            x: root.width - root.near
            y: root.near + root.curve
            radiusX: root.curve
            radiusY: root.curve
        }
        PathLine {
            x: root.width - root.near
            y: root.height - root.near - root.curve
        }
        PathArc {
            x: root.width - root.near - root.curve
            y: root.height - root.near
            radiusX: root.curve
            radiusY: root.curve
        }
        PathLine {
            x: root.near + root.curve
            y: root.height - root.near
        }
        PathArc {
            x: root.near
            y: root.height - root.near - root.curve
            radiusX: root.curve
            radiusY: root.curve
        }
        PathLine {
            x: root.near
            y: root.near + root.curve
        }
        PathArc {
            x: root.near + root.curve
            y: root.near
            radiusX: root.curve
            radiusY: root.curve
        }
    }
}
