import QtQuick
import QtQuick.Layouts

// A positioner in a layout. Where a Repeater makes and takes things away a layout of Qt 6.4 may lay out what is gone,
// and a positioner with things as wide as itself, straight in a layout, never comes to rest: so it takes its width from
// here, and only its height goes up.
Item {
    implicitHeight: children.length > 0 ? children[0].implicitHeight : 0
    Layout.fillWidth: true
}
