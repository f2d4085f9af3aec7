import QtQuick
import QtQuick.Layouts
import Discal

// What the thermometer and the sky say now.
PageColumn {
    id: root

    required property WeatherPageModel weather
    signal back

    Component.onCompleted: root.weather.begin()

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
            label: qsTr("Air, %1").arg(root.weather.airUnit)
            value: root.weather.air
            prompt: qsTr("in the shade")
            most: 6
            hints: Qt.ImhFormattedNumbersOnly
            Layout.preferredWidth: 1
            onEdited: text => root.weather.air = text
        }
        Field {
            label: qsTr("Wind, %1").arg(root.weather.windUnit)
            value: root.weather.wind
            prompt: qsTr("at the flowers")
            most: 6
            hints: Qt.ImhFormattedNumbersOnly
            Layout.preferredWidth: 1
            onEdited: text => root.weather.wind = text
        }
    }
    ChoiceKeys {
        question: qsTr("Clouds, in quarters of the sky")
        names: ["0", "1", "2", "3", "4"]
        current: root.weather.cloud
        isCode: true
        onChosen: which => root.weather.cloud = which
    }
    ChoiceKeys {
        question: qsTr("Rain?")
        names: [qsTr("yes", "rain"), qsTr("no", "rain")]
        current: root.weather.rain
        onChosen: which => root.weather.rain = which
    }
    Item {
        Layout.fillHeight: true
    }
    FailureBox {
        sentence: root.weather.failure.sentence
        canRetry: root.weather.failure.canRetry
        Layout.fillWidth: true
        onRetry: root.weather.failure.retry()
        onDismiss: root.weather.failure.dismiss()
    }
    Key {
        text: qsTr("Write it down")
        tone: "main"
        enabled: root.weather.canWrite
        Layout.fillWidth: true
        onClicked: {
            if (root.weather.write())
                root.back();
        }
    }
}
