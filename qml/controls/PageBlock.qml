import QtQuick
import QtQuick.Layouts
import Discal

// A column within the page's margins: the head or the keys of a ListPage.
Item {
    id: root

    default property alias content: column.data

    width: parent ? parent.width : 0
    implicitHeight: column.implicitHeight + 2 * (Theme.margin + 4)

    ColumnLayout {
        id: column
        spacing: Theme.gap
        x: Theme.margin
        // Nothing to tap within 4 mm of a corner
        y: Theme.margin + 4
        width: root.width - 2 * Theme.margin
    }
}
