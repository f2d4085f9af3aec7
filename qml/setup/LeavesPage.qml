pragma ComponentBehavior: Bound
import QtQuick
import QtQuick.Layouts
import Discal

// Whether the owner of each site's land lets us; said again when it changes.
PageColumn {
    id: root

    required property SitesModel sites
    signal back

    Component.onCompleted: root.sites.failure.dismiss()

    PageHead {
        title: qsTr("Landowners’ leave")
        note: qsTr("Does whoever owns the land let you? Nothing stops where nobody was asked.")
        hasBack: true
        Layout.fillWidth: true
        onBack: root.back()
    }
    FailureBox {
        sentence: root.sites.failure.sentence
        canRetry: false
        Layout.fillWidth: true
        onDismiss: root.sites.failure.dismiss()
    }
    // A positioner: a layout of Qt 6.4 may lay out what a Repeater has just taken away
    Column {
        id: rows
        spacing: Theme.margin
        Layout.fillWidth: true

        Repeater {
            model: root.sites

            ChoiceKeys {
                required property string site
                required property string name
                required property int leaveSaid

                width: rows.width
                question: name
                names: [qsTr("yes", "the landowner's leave"), qsTr("no", "the landowner's leave")]
                current: leaveSaid
                note: leaveSaid < 0 ? qsTr("not asked yet") : ""
                onChosen: which => root.sites.setLeave(site, which)
            }
        }
    }
    Item {
        Layout.fillHeight: true
    }
}
