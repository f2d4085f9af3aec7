pragma ComponentBehavior: Bound
import QtQuick
import Discal

// What is worth a look on this phone, a line each, gravest first.
Placed {
    id: root

    required property TroublesModel troubles
    signal open(string page, string what)

    visible: root.troubles.count > 0

    Column {
        id: rows
        width: parent.width

        Repeater {
            model: root.troubles

            TroubleRow {
                width: rows.width
                onClicked: root.open("troubles", "")
            }
        }
    }
}
