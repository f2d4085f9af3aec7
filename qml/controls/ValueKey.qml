import QtQuick
import QtQuick.Layouts
import Discal

// One of a few values; the one that holds is filled.
Key {
    id: root

    required property string value
    required property string current

    isChosen: current === value
    Layout.fillWidth: true
    Layout.preferredWidth: 1
    Accessible.role: Accessible.RadioButton
}
