import QtQuick
import Discal

// The map under fingers: drag and pinch move it, a tap brings a place into the middle, arrow keys and a wheel do as well.
MapItem {
    id: root

    land: Theme.land
    water: Theme.water
    shore: Theme.shore
    county: Theme.countyLine
    region: Theme.regionLine
    ink: Theme.ink
    quiet: Theme.quiet
    paper: Theme.paper
    aster: Theme.aster
    gold: Theme.gold
    family: Theme.family
    textScale: Theme.textScale
    // The shapes of the Earth aren't mirrored where lines run from the right
    LayoutMirroring.enabled: false
    activeFocusOnTab: true
    Accessible.role: Accessible.Graphic
    Accessible.name: qsTr("Map, %1", "420 m across").arg(map.words)
    Accessible.focusable: true
    Keys.onLeftPressed: map.move(60, 0)
    Keys.onRightPressed: map.move(-60, 0)
    Keys.onUpPressed: map.move(0, 60)
    Keys.onDownPressed: map.move(0, -60)

    DragHandler {
        target: null
        maximumPointCount: 1
        onActiveChanged: active ? root.map.hold(centroid.position) : root.map.letGo()
        onCentroidChanged: if (active) root.map.pull(centroid.position, 1)
    }
    PinchHandler {
        target: null
        onActiveChanged: active ? root.map.hold(centroid.position) : root.map.letGo()
        onCentroidChanged: if (active) root.map.pull(centroid.position, activeScale)
    }
    TapHandler {
        onTapped: point => root.map.tap(point.position)
    }
    WheelHandler {
        onWheel: event => root.map.zoomAbout(event.angleDelta.y > 0 ? 1.25 : 0.8, Qt.point(event.x, event.y))
    }
    Rectangle {
        visible: root.activeFocus
        anchors.fill: parent
        color: "transparent"
        border.width: Theme.outline + 1.5
        border.color: Theme.aster
    }
}
