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
    property int page: 0
    property string opened: ""
    property string openedWith: ""
    readonly property QtObject openedPage: above.item
    // Pages under the one that is open, and what they were opened with
    property var trail: []
    readonly property bool isWide: width >= Theme.wide

    function open(page: string, what: string) {
        if (root.opened !== "")
            root.trail = root.trail.concat([[root.opened, root.openedWith]]);
        root.openedWith = what;
        root.opened = page;
    }
    // Back to the page it was opened from
    function back() {
        const before = root.trail[root.trail.length - 1];
        root.trail = root.trail.slice(0, -1);
        if (before)
            root.openedWith = before[1];
        root.opened = before ? before[0] : "";
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

    Item {
        id: pages
        anchors.fill: parent
        anchors.leftMargin: root.isWide && bar.visible ? bar.width : 0
        anchors.bottomMargin: root.isWide || root.sheets.isFirstStart ? 0 : bar.height
        visible: root.opened === ""

        FirstStart {
            anchors.fill: parent
            visible: root.sheets.isFirstStart
            sheets: root.sheets
            onOpen: (page, what) => root.open(page, what)
        }
        TagPage {
            anchors.fill: parent
            visible: root.page === 0 && !root.sheets.isFirstStart
            tag: root.tag
            notice: root.setup.permitPast
            onOpen: (page, what) => root.open(page, what)
        }
        HeldPage {
            id: heldPage
            anchors.fill: parent
            visible: root.page === 1
            held: root.held
            onOpen: (page, what) => root.open(page, what)
        }
        TodayPage {
            id: todayPage
            anchors.fill: parent
            visible: root.page === 2
            today: root.today
            onOpen: (page, what) => root.open(page, what)
        }
        SetupPage {
            anchors.fill: parent
            visible: root.page === 3 && !root.sheets.isFirstStart
            setup: root.setup
            held: root.held
            people: root.people
            sites: root.sites
            sheets: root.sheets
            settings: root.settings
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
        visible: (root.opened === "" || root.isWide) && !root.sheets.isFirstStart
        width: root.isWide ? implicitWidth : root.width
        height: root.isWide ? root.height : implicitHeight
        anchors.left: parent.left
        y: root.isWide ? 0 : root.height - height
        onChosen: page => {
            root.close();
            root.page = page;
        }
    }
    Loader {
        id: above
        anchors.fill: parent
        anchors.leftMargin: root.isWide && bar.visible ? bar.width : 0
        active: root.opened !== ""
        sourceComponent: root.opened === "else" ? elsePage
                       : root.opened === "except" ? exceptPage
                       : root.opened === "loose" ? loosePage
                       : root.opened === "story" ? storyPage
                       : root.opened === "line" ? linePage
                       : root.opened === "correct" ? correctPage
                       : root.opened === "copy" ? sharePage
                       : root.opened === "sheet" ? sheetPage
                       : root.opened === "digits" ? digitsPage
                       : root.opened === "already" ? alreadyPage
                       : root.opened === "measure" ? measurePage
                       : root.opened === "newsheet" ? newSheetPage
                       : root.opened === "sheets" ? sheetsPage
                       : root.opened === "people" ? peoplePage
                       : root.opened === "sites" ? sitesPage
                       : root.opened === "newsite" ? newSitePage
                       : root.opened === "station" ? stationPage
                       : root.opened === "phone" ? phonePage
                       : root.opened === "cage" ? cagePage
                       : root.opened === "leaves" ? leavesPage
                       : root.opened === "schemes" ? schemesPage
                       : root.opened === "session" ? sessionPage
                       : root.opened === "weather" ? weatherPage
                       : root.opened === "handrun" ? handRunPage
                       : root.opened === "takerun" ? takeRunPage
                       : undefined
    }
    // Loader of Qt 6.4 can't make bound components, so their ids are looked up when they are made.
    // qmllint disable unqualified
    Component {
        id: elsePage

        ElsePage {
            tag: root.tag
            onBack: root.back()
            onOpen: (page, what) => root.open(page, what)
        }
    }
    Component {
        id: exceptPage

        ExceptPage {
            exceptions: root.exceptions
            moment: root.openedWith
            onBack: root.back()
        }
    }
    Component {
        id: loosePage

        LoosePage {
            held: root.held
            onBack: root.back()
        }
    }
    Component {
        id: storyPage

        StoryPage {
            story: root.story
            butterfly: root.openedWith
            onBack: root.back()
            onOpen: (page, what) => root.open(page, what)
        }
    }
    Component {
        id: linePage

        LinePage {
            story: root.story
            line: root.openedWith
            onBack: root.back()
        }
    }
    Component {
        id: correctPage

        CorrectPage {
            correct: root.correct
            butterfly: root.openedWith
            onBack: root.back()
        }
    }
    Component {
        id: sharePage

        SharePage {
            share: root.share
            onBack: root.back()
        }
    }
    Component {
        id: digitsPage

        DigitsPage {
            tag: root.tag
            sheet: root.sheet
            isCheck: root.openedWith === "check"
            onBack: root.back()
            onDone: root.close()
        }
    }
    Component {
        id: measurePage

        MeasurePage {
            tag: root.tag
            onBack: root.back()
            onDone: root.close()
        }
    }
    Component {
        id: sheetsPage

        SheetsPage {
            sheets: root.sheets
            schemes: root.schemes
            onBack: root.back()
            onOpen: (page, what) => root.open(page, what)
        }
    }
    Component {
        id: sitesPage

        SitesPage {
            sites: root.sites
            onBack: root.back()
            onOpen: (page, what) => root.open(page, what)
        }
    }
    Component {
        id: stationPage

        StationPage {
            setup: root.setup
            onBack: root.back()
        }
    }
    Component {
        id: cagePage

        CagePage {
            held: root.held
            onBack: root.back()
        }
    }
    Component {
        id: phonePage

        PhonePage {
            setup: root.setup
            onBack: root.back()
        }
    }
    Component {
        id: sheetPage

        SheetPage {
            tag: root.tag
            sheet: root.sheet
            isCheck: root.openedWith === "check"
            onBack: root.back()
            onOpen: (page, what) => root.open(page, what)
        }
    }
    Component {
        id: alreadyPage

        AlreadyPage {
            tag: root.tag
            already: root.already
            onBack: root.back()
            onOpen: (page, what) => root.open(page, what)
        }
    }
    Component {
        id: newSheetPage

        NewSheetPage {
            sheets: root.sheets
            onBack: root.back()
        }
    }
    Component {
        id: peoplePage

        PeoplePage {
            people: root.people
            isRecorder: root.openedWith === "recorder"
            onBack: root.back()
            onOpen: (page, what) => root.open(page, what)
        }
    }
    Component {
        id: newSitePage

        NewSitePage {
            sites: root.sites
            onBack: root.back()
            onDone: root.close()
        }
    }
    Component {
        id: leavesPage

        LeavesPage {
            sites: root.sites
            onBack: root.back()
        }
    }
    Component {
        id: schemesPage

        SchemesPage {
            schemes: root.schemes
            onBack: root.back()
        }
    }
    Component {
        id: sessionPage

        SessionPage {
            session: root.session
            onBack: root.back()
            onOpen: (page, what) => root.open(page, what)
        }
    }
    Component {
        id: weatherPage

        WeatherPage {
            session: root.session
            onBack: root.back()
        }
    }
    Component {
        id: handRunPage

        HandRunPage {
            handing: root.handing
            onBack: root.back()
        }
    }
    Component {
        id: takeRunPage

        TakeRunPage {
            handing: root.handing
            setup: root.setup
            onBack: root.back()
        }
    }
}
