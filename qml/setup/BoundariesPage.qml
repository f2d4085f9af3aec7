pragma ComponentBehavior: Bound
import QtQuick
import QtQuick.Layouts
import Discal

// Districts of other countries than the United States, from files that others publish.
PageColumn {
    id: root

    required property BoundariesModel boundaries
    signal back

    Component.onCompleted: root.boundaries.begin()

    PageHead {
        title: qsTr("Other countries’ districts")
        note: qsTr("For places outside the United States: a GeoJSON file of districts or municipalities.")
        hasBack: true
        Layout.fillWidth: true
        onBack: root.back()
    }
    FailureBox {
        sentence: root.boundaries.failure.sentence
        canRetry: root.boundaries.failure.canRetry
        Layout.fillWidth: true
        onRetry: root.boundaries.failure.retry()
        onDismiss: root.boundaries.failure.dismiss()
    }
    NoteLine {
        text: root.boundaries.done
        glyph: "tick"
        isStrong: true
    }
    // Positioners: a layout of Qt 6.4 may lay out what a Repeater has just taken away
    Column {
        id: kept
        spacing: Theme.gap
        Layout.fillWidth: true

        Repeater {
            model: root.boundaries

            Item {
                id: row
                required property string name
                required property string about
                // With large text the key has a line of its own
                readonly property bool isKeyBelow: Theme.textScale > 1.3

                width: kept.width
                height: isKeyBelow ? words.height + Theme.gap + away.height : Math.max(words.height, away.height)

                Column {
                    id: words
                    width: row.isKeyBelow ? row.width : row.width - away.width - Theme.gap
                    y: row.isKeyBelow ? 0 : (row.height - height) / 2
                    anchors.left: parent.left

                    FitWords {
                        text: row.name
                        font.weight: Font.DemiBold
                        width: parent.width
                    }
                    Words {
                        text: row.about
                        font.pixelSize: Theme.smallSize
                        color: Theme.quiet
                        width: parent.width
                    }
                }
                Key {
                    id: away
                    text: qsTr("Remove", "a file of boundaries")
                    width: row.isKeyBelow ? row.width : implicitWidth
                    anchors.right: parent.right
                    y: row.isKeyBelow ? row.height - height : (row.height - height) / 2
                    Accessible.name: qsTr("Remove %1", "a file of boundaries").arg(row.name)
                    onClicked: root.boundaries.remove(row.name)
                }
            }
        }
    }
    Item {
        Layout.fillHeight: true
        Layout.minimumHeight: Theme.gap * 2
    }
    Words {
        text: root.boundaries.found.length > 0 ? qsTr("In %1").arg(root.boundaries.folderName)
                                               : qsTr("No such file in %1 yet").arg(root.boundaries.folderName)
        font.weight: Font.DemiBold
        Layout.fillWidth: true
    }
    Column {
        id: files
        Layout.fillWidth: true

        Repeater {
            model: root.boundaries.found

            ChoiceRow {
                required property string modelData

                width: files.width
                word: modelData
                value: qsTr("take in", "a file")
                onClicked: root.boundaries.takeFound(modelData)
            }
        }
    }
    Field {
        label: qsTr("Or a file’s path")
        value: root.boundaries.file
        example: qsTr("/home/kl/canada.geojson", "a file's path")
        most: 1000
        hints: Qt.ImhNoPredictiveText | Qt.ImhNoAutoUppercase
        onEdited: text => root.boundaries.file = text
    }
    Key {
        text: qsTr("Take it in")
        tone: "main"
        enabled: root.boundaries.canTake
        Layout.fillWidth: true
        onClicked: root.boundaries.take()
    }
}
