pragma ComponentBehavior: Bound
import QtQuick
import QtQuick.Layouts
import Discal

// The two things that are asked of a sheet, and what was understood of them.
ColumnLayout {
    id: root

    required property SheetsModel sheets
    property bool asksRow: false
    signal camera

    spacing: Theme.gap

    RowLayout {
        visible: !root.sheets.isFromLabel
        spacing: Theme.gap
        layoutDirection: Theme.row
        Layout.fillWidth: true

        Field {
            label: qsTr("First code on the sheet")
            value: root.sheets.first
            example: "RKD 001"
            isCode: true
            most: 20
            hints: Qt.ImhUppercaseOnly | Qt.ImhNoPredictiveText
            Layout.fillWidth: true
            onEdited: text => root.sheets.first = text
        }
        CameraKey {
            Accessible.description: qsTr("reads the sheet’s label, or its first and last tag")
            Layout.alignment: Qt.AlignBottom
            onClicked: root.camera()
        }
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
        visible: !root.sheets.isFromLabel
        question: qsTr("How many tags")
        names: ["10", "25", "50", "100"]
        current: names.indexOf(root.sheets.countText)
        isCode: true
        onChosen: which => root.sheets.countText = names[which]
    }
    Field {
        visible: !root.sheets.isFromLabel
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
        visible: root.asksRow && !root.sheets.isFromLabel
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
    // A label says what was printed, not who has it
    Words {
        visible: root.sheets.isFromLabel
        text: qsTr("Is this sheet with this phone from now on?")
        font.pixelSize: Theme.textScale > 1.3 ? Theme.bodySize : Theme.headSize
        font.weight: Font.ExtraBold
        Layout.fillWidth: true
        Layout.topMargin: Theme.textScale > 1.3 ? 0 : Theme.gap
        Accessible.role: Accessible.Heading
    }
    Words {
        visible: root.sheets.isFromLabel && Theme.textScale <= 1.3
        text: qsTr("Then this phone offers its tags, and no other does.")
        Layout.fillWidth: true
    }
}
