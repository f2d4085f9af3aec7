import QtQuick
import Discal

// One that is held: since when, in which cage where there are several, and whether that is too long.
ButterflyRow {
    id: root

    required property string butterfly
    required property string since
    required property string origin
    required property string cage
    required property string tooLong
    property bool cageShown: false

    mark: "held"
    note: since
    more: cageShown ? cage : origin
    warning: tooLong
}
