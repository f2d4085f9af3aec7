pragma ComponentBehavior: Bound
import QtQuick
import QtQuick.Layouts
import Discal

// The two things that are asked of a sheet, and what was understood of them.
ColumnLayout {
    id: root

    required property SheetsModel sheets
    property bool asksRow: false

    spacing: Theme.gap

    Field {
        label: qsTr("First code on the sheet")
        value: root.sheets.first
        example: "RKD 001"
        isCode: true
        most: 20
        hints: Qt.ImhUppercaseOnly | Qt.ImhNoPredictiveText
        onEdited: text => root.sheets.first = text
    }
    // A positioner: a layout of Qt 6.4 may lay out what a Repeater has just taken away
    Grid {
        id: readings
        visible: root.sheets.readings.length > 0
        columns: 2
        spacing: 8
        Layout.fillWidth: true

        Repeater {
            model: root.sheets.readings

            CodeKey {
                required property string modelData
                text: modelData
                tone: "soft"
                width: (readings.width - 8) / 2
                onClicked: root.sheets.choose(modelData)
            }
        }
    }
    ChoiceKeys {
        question: qsTr("How many tags")
        names: ["10", "25", "50", "100"]
        current: names.indexOf(root.sheets.countText)
        isCode: true
        onChosen: which => root.sheets.countText = names[which]
    }
    Field {
        label: ""
        // qmllint disable
        value: ["10", "25", "50", "100"].indexOf(root.sheets.countText) < 0 ? root.sheets.countText : ""
        // qmllint enable
        prompt: qsTr("another number")
        most: 5
        hints: Qt.ImhDigitsOnly
        Accessible.name: qsTr("How many tags, typed")
        onEdited: text => root.sheets.countText = text
    }
    ChoiceKeys {
        visible: root.asksRow
        question: qsTr("In a printed row (may stay open)")
        names: ["4", "5", "8", "10"]
        current: names.indexOf(root.sheets.perRow.toString())
        isCode: true
        onChosen: which => root.sheets.perRow = names[which]
    }
    Understood {
        what: root.sheets.understood
        count: root.sheets.understoodCount
        advice: root.sheets.advice
        Layout.fillWidth: true
    }
}
