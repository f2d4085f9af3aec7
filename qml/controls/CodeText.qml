import QtQuick
import Discal

// A tag code: letters light, the digits that change heavy and large. One thing for eye and ear. Printed, so read, from
// left to right in every language; it stands where a line begins.
Item {
    id: root

    required property string letters
    required property string digits
    property real size: Theme.codeSize

    readonly property real fit: Math.min(1, width / Math.max(1, row.implicitWidth))

    implicitWidth: row.implicitWidth
    implicitHeight: row.implicitHeight
    Accessible.role: Accessible.StaticText
    Accessible.name: letters + " " + digits

    Row {
        id: row
        LayoutMirroring.enabled: false
        spacing: root.size * 0.12
        x: root.LayoutMirroring.enabled ? root.width - width * scale : 0
        scale: root.fit
        transformOrigin: Item.Left
        anchors.verticalCenter: parent.verticalCenter

        Text {
            visible: root.letters !== ""
            text: root.letters
            font.family: Theme.codeFamily
            font.pixelSize: root.size * 0.47
            font.weight: Font.Normal
            color: Theme.ink
            anchors.baseline: big.baseline
            Accessible.ignored: true
        }
        Text {
            id: big
            text: root.digits
            font.family: Theme.codeFamily
            font.pixelSize: root.size
            font.weight: Font.ExtraBold
            color: Theme.ink
            Accessible.ignored: true
        }
    }
}
