import QtQuick

// A part of the app that is made when it is first shown, and kept: what isn't seen yet costs no start.
Loader {
    id: root

    required property bool isShown
    // From the root of the module
    required property string file
    required property var models
    // Made in a free moment beforehand, so that the tap that shows it finds it there
    property bool isNear: false
    signal open(string page, string what)

    function make() {
        if ((root.isShown || root.isNear) && root.status === Loader.Null)
            root.setSource(Qt.resolvedUrl("../" + root.file), root.models);
    }

    visible: isShown
    onIsShownChanged: make()
    onIsNearChanged: make()
    Component.onCompleted: make()

    Connections {
        target: root.item
        ignoreUnknownSignals: true

        function onOpen(page: string, what: string) {
            root.open(page, what);
        }
    }
}
