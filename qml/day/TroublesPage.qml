pragma ComponentBehavior: Bound
import QtQuick
import QtQuick.Layouts
import Discal

// All that is worth a look on this phone: what happened, what is safe, what to do. None of it stops work.
PageColumn {
    id: root

    required property TroublesModel troubles
    signal back
    signal open(string page, string what)

    PageHead {
        title: qsTr("Worth a look")
        note: root.troubles.count === 0 ? "" : qsTr("None of it stops work.")
        hasBack: true
        Layout.fillWidth: true
        onBack: root.back()
    }
    Words {
        visible: root.troubles.count === 0
        text: qsTr("All is well on this phone.")
        font.weight: Font.DemiBold
        Layout.fillWidth: true
        Layout.topMargin: Theme.gap
    }
    Placed {
        Column {
            id: list
            width: parent.width

            Repeater {
                model: root.troubles

                TroubleWords {
                    width: list.width
                    onOpen: (page, what) => root.open(page, what)
                }
            }
        }
    }
    Item {
        Layout.fillHeight: true
    }
}
