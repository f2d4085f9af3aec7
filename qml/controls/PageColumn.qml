import QtQuick
import QtQuick.Layouts
import Discal

// A page's column: fills the height when it fits, scrolls when text is large. Never wider than can be read.
Flickable {
    id: root

    default property alias content: column.data
    property alias spacing: column.spacing

    function showHead() {
        contentY = originY;
    }

    contentWidth: width
    contentHeight: column.height + 2 * Theme.margin + 8
    boundsBehavior: Flickable.StopAtBounds
    interactive: contentHeight > height
    clip: true

    ColumnLayout {
        id: column
        spacing: Theme.gap
        width: Math.min(root.width - 2 * Theme.margin, Theme.widest)
        x: (root.width - width) / 2
        // Nothing to tap within 4 mm of a corner
        y: Theme.margin + 4
        height: Math.max(implicitHeight, root.height - 2 * Theme.margin - 8)
    }
}
