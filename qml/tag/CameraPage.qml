import QtQuick
import QtQuick.Layouts
import Discal

// The view through the camera, a ring to aim by, and what to do to be read. It closes with the verdict.
PageColumn {
    id: root

    required property CameraPageModel camera
    // next, check, already, label, run
    required property string purpose
    // One comes back to where the camera was opened, also from the pads
    property bool isOver: false
    readonly property bool isSeen: camera.state === CameraPageModel.Opening || camera.state === CameraPageModel.Aiming
    readonly property bool isTyped: purpose === "next" || purpose === "check"
    signal back
    signal open(string page, string what)

    function type() {
        root.isOver = true;
        if (root.isTyped)
            root.open("digits", root.purpose === "check" ? "check" : "");
        else
            root.back();
    }

    spacing: Theme.low ? 8 : Theme.gap
    Component.onCompleted: root.camera.open(root.purpose)
    Component.onDestruction: root.camera.close()

    Connections {
        target: root.camera

        function onFinished() {
            root.back();
        }
    }
    PageHead {
        title: root.camera.title
        hasBack: true
        Layout.fillWidth: true
        onBack: root.back()
    }
    Item {
        visible: !root.isSeen
        Layout.fillHeight: true
    }
    CameraView {
        visible: root.isSeen
        camera: root.camera
        isRound: root.camera.purpose === CameraPageModel.NextTag || root.camera.purpose === CameraPageModel.Already
        // At a roost a small picture is light enough
        Layout.preferredWidth: Theme.night ? 240 : 328
        Layout.preferredHeight: Theme.night ? 240 : Theme.low ? 280 : 328
        Layout.maximumWidth: root.width - 2 * Theme.margin
        Layout.alignment: Qt.AlignHCenter
        Layout.topMargin: Theme.night ? 24 : 0
    }
    Words {
        text: root.camera.advice
        font.pixelSize: Theme.headSize
        font.weight: Font.ExtraBold
        horizontalAlignment: root.isSeen ? Text.AlignHCenter : Text.AlignLeft
        Layout.fillWidth: true
        // Two lines, so that the keys stay where they are
        Layout.minimumHeight: root.isSeen && Theme.textScale <= 1.3 ? font.pixelSize * 2.5 : 0
    }
    Words {
        visible: !root.isSeen
        text: root.camera.state === CameraPageModel.Asleep ? qsTr("It goes on when Discal is in front again.")
                                                           : qsTr("Everything can be typed as well.")
        Layout.fillWidth: true
    }
    Item {
        Layout.fillHeight: true
    }
    Key {
        visible: root.camera.hasTorch
        text: root.camera.isTorchOn ? qsTr("light off") : qsTr("light on")
        glyph: "sun"
        isChosen: root.camera.isTorchOn
        Layout.fillWidth: true
        onClicked: root.camera.turnTorch()
    }
    Key {
        text: root.isTyped ? qsTr("type the last digits") : qsTr("type it instead")
        tone: root.isSeen ? "plain" : "main"
        Layout.fillWidth: true
        onClicked: root.type()
    }
}
