import QtQuick
import QtQuick.Layouts
import Discal

// What the thermometer and the sky say now.
PageColumn {
    id: root

    required property SessionPageModel session
    signal back

    Component.onCompleted: root.session.beginWeather()

    PageHead {
        title: qsTr("The weather now")
        note: qsTr("What you leave open is not said.")
        hasBack: true
        Layout.fillWidth: true
        onBack: root.back()
    }
    GridLayout {
        columns: Theme.textScale > 1.3 ? 1 : 2
        columnSpacing: Theme.gap
        rowSpacing: Theme.gap
        Layout.fillWidth: true

        Field {
            label: qsTr("Air, %1").arg(root.session.airUnit)
            value: root.session.air
            prompt: qsTr("in the shade")
            most: 6
            hints: Qt.ImhFormattedNumbersOnly
            Layout.preferredWidth: 1
            onEdited: text => root.session.air = text
        }
        Field {
            label: qsTr("Wind, %1").arg(root.session.windUnit)
            value: root.session.wind
            prompt: qsTr("at the flowers")
            most: 6
            hints: Qt.ImhFormattedNumbersOnly
            Layout.preferredWidth: 1
            onEdited: text => root.session.wind = text
        }
    }
    ChoiceKeys {
        question: qsTr("Clouds, in quarters of the sky")
        names: ["0", "1", "2", "3", "4"]
        current: root.session.cloud
        isCode: true
        onChosen: which => root.session.cloud = which
    }
    ChoiceKeys {
        question: qsTr("Rain?")
        names: [qsTr("yes", "rain"), qsTr("no", "rain")]
        current: root.session.rain
        onChosen: which => root.session.rain = which
    }
    Item {
        Layout.fillHeight: true
    }
    FailureBox {
        sentence: root.session.failure.sentence
        canRetry: root.session.failure.canRetry
        Layout.fillWidth: true
        onRetry: root.session.failure.retry()
        onDismiss: root.session.failure.dismiss()
    }
    Key {
        text: qsTr("Write it down")
        tone: "main"
        enabled: root.session.canWriteWeather
        Layout.fillWidth: true
        onClicked: {
            if (root.session.writeWeather())
                root.back();
        }
    }
}
