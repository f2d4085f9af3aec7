import QtQuick
import QtQuick.Layouts
import Discal

// Wild or reared is asked before the first butterfly; after that it carries over.
ColumnLayout {
    id: root

    required property TagPageModel tag

    spacing: Theme.gap

    Item {
        visible: Theme.textScale <= 1.3
        Layout.fillHeight: true
        Layout.maximumHeight: 40
    }
    Words {
        text: qsTr("Wild or reared?")
        font.pixelSize: Theme.headSize
        font.weight: Font.ExtraBold
        Layout.fillWidth: true
        Accessible.role: Accessible.Heading
    }
    Words {
        text: qsTr("Stays so until you say the other.")
        font.pixelSize: Theme.smallSize
        color: Theme.quiet
        Layout.fillWidth: true
    }
    Item {
        Layout.fillHeight: true
        Layout.maximumHeight: 80
    }
    RowLayout {
        spacing: Theme.gap
        Layout.fillWidth: true
        Layout.preferredHeight: 190
        Layout.maximumHeight: 190

        OriginKey {
            isReared: false
            onClicked: root.tag.setReared(false)
        }
        OriginKey {
            isReared: true
            onClicked: root.tag.setReared(true)
        }
    }
    Item {
        Layout.fillHeight: true
    }
}
