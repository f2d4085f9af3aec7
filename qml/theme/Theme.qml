pragma Singleton
import QtQuick

// Colours, sizes and type of every page. Field: ink on paper, for the sun; Night: amber on near-black, for a roost.
// Contrast of every pair that is used together is checked by tests/qml.
QtObject {
    // Set by Main from the settings
    property bool night: false
    property real textScale: 1
    property bool large: false
    property bool leftHanded: false
    property bool reducedMotion: false
    // A low window: what is only room, or said elsewhere too, is left out
    property bool low: false

    // Goldenrod for the one thing to press, aster for where you are and what is under way
    readonly property color paper: night ? "#0B0806" : "#FFFDF5"
    readonly property color ink: night ? "#FF9F5A" : "#16201B"
    readonly property color soft: night ? "#1E130C" : "#F1EBD8"
    readonly property color gold: night ? "#FF7A2E" : "#F5B800"
    readonly property color onGold: night ? "#120A05" : "#16201B"
    readonly property color aster: night ? "#FFB98A" : "#4A2C82"
    readonly property color quiet: night ? "#D98348" : "#3B443E"
    // Outlines need 7:1 by day; at night the eye is open and a lighter line would glare
    readonly property color line: night ? "#D98348" : "#16201B"

    // Of maps. Land is paper; the lines upon it tell by their weight, and are never needed to act.
    readonly property color land: paper
    readonly property color water: night ? "#24170E" : "#DCE7E8"
    readonly property color shore: night ? "#8F5D36" : "#5F7F89"
    readonly property color countyLine: night ? "#5E4029" : "#B0A48C"
    readonly property color regionLine: night ? "#A56B3D" : "#6E6453"

    readonly property string family: "Atkinson Hyperlegible Next"
    readonly property string codeFamily: "Atkinson Hyperlegible Mono"

    // Type, in sp
    readonly property real codeSize: 76 * Math.min(textScale, 1.25)
    readonly property real titleSize: 38 * Math.min(textScale, 1.5)
    readonly property real headSize: 27 * Math.min(textScale, 1.7)
    readonly property real bodySize: 19 * textScale
    readonly property real smallSize: 16 * textScale

    // Form, in dp
    readonly property real margin: 16
    readonly property real gap: 12
    readonly property real outline: 2.5
    readonly property real radius: 20
    readonly property real keyHeight: large ? 76 : 64
    readonly property real mainHeight: large ? 104 : 88
    readonly property real rowHeight: large ? 76 : 62
    // Of a row whose last key lies under the thumb
    readonly property int row: leftHanded ? Qt.RightToLeft : Qt.LeftToRight
    readonly property real wide: 720
    readonly property real widest: 560
}
