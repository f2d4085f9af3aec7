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
    Words {
        visible: root.sheets.readings.length > 0
        text: root.sheets.advice
        font.weight: Font.DemiBold
        Layout.fillWidth: true
        Layout.bottomMargin: -6
    }
    CodeKeys {
        codes: root.sheets.readings
        onPicked: which => root.sheets.choose(codes[which])
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
        advice: root.sheets.readings.length > 0 ? "" : root.sheets.advice
        Layout.fillWidth: true
    }
}
