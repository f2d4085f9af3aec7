import QtQuick
import Discal

// The window: the page chosen below (or at the side, where there is room), and pages opened from it above.
Window {
    id: root

    required property TagPageModel tag
    required property HeldPageModel held
    required property ExceptPageModel exceptions
    required property TodayPageModel today
    required property StoryPageModel story
    required property CorrectPageModel correct
    required property SharePageModel share
    required property SettingsModel settings
    required property SheetsModel sheets
    required property SheetPageModel sheet
    required property AlreadyModel already
    required property PeopleModel people
    required property SitesModel sites
    required property SetupPageModel setup
    required property HandRunModel handing
    required property SchemesModel schemes
    required property SessionPageModel session
    required property WeatherPageModel weather
    required property TroublesModel troubles
    required property BoundariesModel boundaries
    required property MapPageModel map
    required property TownsModel towns
    required property CameraPageModel camera
    property int page: 0
    property string opened: ""
    property string openedWith: ""
    readonly property QtObject openedPage: above.item
    // Pages under the one that is open, and what they were opened with
    property var trail: []
    readonly property bool isWide: width >= Theme.wide
    // The room of the bar where it stands at the side, under the thumb that holds the tablet; the other hand works
    readonly property real beside: isWide && bar.visible ? bar.width : 0

    // The pages above those of the bar: their file, and what they are made with. A page's types are loaded when it is
    // opened, so that a start loads those of the Tag page alone.
    readonly property var files: ({
        "else": ["tag/ElsePage.qml", {tag: root.tag}],
        "digits": ["tag/DigitsPage.qml", {tag: root.tag, sheet: root.sheet, isCheck: root.openedWith === "check"}],
        "sheet": ["tag/SheetPage.qml", {tag: root.tag, sheet: root.sheet, isCheck: root.openedWith === "check"}],
        "camera": ["tag/CameraPage.qml", {camera: root.camera, purpose: root.openedWith}],
        "measure": ["tag/MeasurePage.qml", {tag: root.tag, butterfly: root.openedWith}],
        "already": ["tag/AlreadyPage.qml", {tag: root.tag, already: root.already}],
        "except": ["held/ExceptPage.qml", {exceptions: root.exceptions, moment: root.openedWith}],
        "loose": ["held/LoosePage.qml", {held: root.held}],
        "cage": ["held/CagePage.qml", {held: root.held}],
        "story": ["day/StoryPage.qml", {story: root.story, butterfly: root.openedWith}],
        "line": ["day/LinePage.qml", {story: root.story, line: root.openedWith}],
        "correct": ["day/CorrectPage.qml", {correct: root.correct, butterfly: root.openedWith}],
        "troubles": ["day/TroublesPage.qml", {troubles: root.troubles}],
        "copy": ["day/SharePage.qml", {share: root.share}],
        "session": ["day/SessionPage.qml", {session: root.session, weather: root.weather}],
        "weather": ["day/WeatherPage.qml", {weather: root.weather}],
        "map": ["map/MapPage.qml", {map: root.map}],
        "placing": ["map/PlacingPage.qml", {map: root.map, sites: root.sites}],
        "town": ["map/TownPage.qml", {towns: root.towns, sites: root.sites, isForSite: root.openedWith === "site"}],
        "sheets": ["setup/SheetsPage.qml", {sheets: root.sheets, schemes: root.schemes}],
        "newsheet": ["setup/NewSheetPage.qml", {sheets: root.sheets}],
        "schemes": ["setup/SchemesPage.qml", {schemes: root.schemes}],
        "handrun": ["setup/HandRunPage.qml", {handing: root.handing}],
        "takerun": ["setup/TakeRunPage.qml", {handing: root.handing, setup: root.setup}],
        "people": ["setup/PeoplePage.qml", {people: root.people, isRecorder: root.openedWith === "recorder"}],
        "sites": ["setup/SitesPage.qml", {sites: root.sites}],
        "newsite": ["setup/NewSitePage.qml", {sites: root.sites}],
        "leaves": ["setup/LeavesPage.qml", {sites: root.sites}],
        "station": ["setup/StationPage.qml", {setup: root.setup}],
        "phone": ["setup/PhonePage.qml", {setup: root.setup}],
        "boundaries": ["setup/BoundariesPage.qml", {boundaries: root.boundaries}],
        "credits": ["setup/CreditsPage.qml", {settings: root.settings}]
    })

    onOpenedChanged: root.showOpened()

    function open(page: string, what: string) {
        if (root.opened !== "" && !root.isOver(root.openedPage))
            root.trail = root.trail.concat([[root.opened, root.openedWith]]);
        root.turnTo(page, what);
    }
    // A page that has done its work: one does not come back to it
    function isOver(page: var): bool {
        return page !== null && page.isOver === true;
    }
    function turnTo(page: string, what: string) {
        const isSame = root.opened === page;
        root.openedWith = what;
        root.opened = page;
        // The same page with something else: it begins anew
        if (isSame)
            root.showOpened();
    }
    function showOpened() {
        const file = root.files[root.opened];
        if (file)
            above.setSource(Qt.resolvedUrl(file[0]), file[1]);
        else
            above.source = "";
    }
    // Back to the page it was opened from
    function back() {
        const before = root.trail[root.trail.length - 1];
        root.trail = root.trail.slice(0, -1);
        if (before)
            root.turnTo(before[0], before[1]);
        else
            root.opened = "";
    }
    // To the page of the bar
    function close() {
        root.trail = [];
        root.opened = "";
    }

    width: 360
    height: 780
    visible: true
    title: qsTr("Discal")
    color: Theme.paper
    // Qt 6.4 lints this as the application of QtQml, which has no direction
    // qmllint disable
    LayoutMirroring.enabled: Qt.application.layoutDirection === Qt.RightToLeft
    // qmllint enable
    LayoutMirroring.childrenInherit: true

    Binding {
        target: Theme
        property: "night"
        value: root.settings.isNight
    }
    Binding {
        target: Theme
        property: "textScale"
        value: root.settings.textPercent / 100
    }
    Binding {
        target: Theme
        property: "large"
        value: root.settings.large
    }
    Binding {
        target: Theme
        property: "leftHanded"
        value: root.settings.leftHanded
    }
    Binding {
        target: Theme
        property: "reducedMotion"
        value: root.settings.reducedMotion
    }
    Binding {
        target: Theme
        property: "low"
        value: root.height < 700
    }

    Item {
        id: pages
        anchors.fill: parent
        anchors.leftMargin: Theme.leftHanded ? 0 : root.beside
        anchors.rightMargin: Theme.leftHanded ? root.beside : 0
        anchors.bottomMargin: root.isWide || root.sheets.isFirstStart ? 0 : bar.height
        visible: root.opened === ""

        OnceShown {
            anchors.fill: parent
            isShown: root.sheets.isFirstStart
            file: "setup/FirstStart.qml"
            models: ({sheets: root.sheets})
            onOpen: (page, what) => root.open(page, what)
        }
        OnceShown {
            anchors.fill: parent
            isShown: root.page === 0 && !root.sheets.isFirstStart
            file: "tag/TagPage.qml"
            models: ({tag: root.tag, troubles: root.troubles})
            onOpen: (page, what) => root.open(page, what)
        }
        OnceShown {
            id: heldPage
            anchors.fill: parent
            isShown: root.page === 1
            file: "held/HeldPage.qml"
            models: ({held: root.held})
            onOpen: (page, what) => root.open(page, what)
        }
        OnceShown {
            id: todayPage
            anchors.fill: parent
            isShown: root.page === 2
            file: "day/TodayPage.qml"
            models: ({today: root.today, troubles: root.troubles, story: root.story})
            onOpen: (page, what) => root.open(page, what)
        }
        OnceShown {
            anchors.fill: parent
            isShown: root.page === 3 && !root.sheets.isFirstStart
            file: "setup/SetupPage.qml"
            models: ({setup: root.setup, held: root.held, people: root.people, sites: root.sites, sheets: root.sheets,
                      settings: root.settings, boundaries: root.boundaries})
            onOpen: (page, what) => root.open(page, what)
        }
    }
    Binding {
        // qmllint disable
        target: root.held
        // qmllint enable
        property: "isShown"
        value: heldPage.visible
    }
    Binding {
        // qmllint disable
        target: root.today
        // qmllint enable
        property: "isShown"
        value: todayPage.visible
    }
    PageBar {
        id: bar
        names: [qsTr("Tag", "short, under a count"), qsTr("Held", "short, under a count"),
            qsTr("Today", "short, under a count"), qsTr("Set up", "short, under a count")]
        counts: ["", root.held.countText, root.today.countText, ""]
        current: root.page
        isUpright: root.isWide
        isAtEnd: root.isWide && Theme.leftHanded
        visible: (root.opened === "" || root.isWide) && !root.sheets.isFirstStart
        width: root.isWide ? implicitWidth : root.width
        height: root.isWide ? root.height : implicitHeight
        x: isAtEnd !== LayoutMirroring.enabled ? root.width - width : 0
        y: root.isWide ? 0 : root.height - height
        onChosen: page => {
            root.close();
            root.page = page;
        }
    }
    // The system's back key, and the one of a keyboard. Without a page above, back is the system's.
    Shortcut {
        sequences: ["Back", "Esc"]
        enabled: root.opened !== ""
        onActivated: root.back()
    }
    Loader {
        id: above
        anchors.fill: parent
        anchors.leftMargin: Theme.leftHanded ? 0 : root.beside
        anchors.rightMargin: Theme.leftHanded ? root.beside : 0
    }
    Connections {
        target: above.item
        ignoreUnknownSignals: true

        function onBack() {
            root.back();
        }
        function onDone() {
            root.close();
        }
        function onOpen(page: string, what: string) {
            root.open(page, what);
        }
    }
}
