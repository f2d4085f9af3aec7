#include "app/scenes.h"

#include "app/full_disk.h"
#include "app/staged_camera.h"

#include <QCoreApplication>
#include <QHashFunctions>
#include <QQmlIncubationController>
#include <QQuickItem>
#include <filesystem>
#include <fstream>
#include <iostream>

namespace discal::app {

using namespace std::chrono_literals;

namespace {

constexpr const char* kInventedDistrict =
    R"({"type":"FeatureCollection","features":[{"type":"Feature","properties":{"name":"Creek district"},
        "geometry":{"type":"Polygon","coordinates":[[[-100.4,19.5],[-100.2,19.5],[-100.2,19.7],[-100.4,19.5]]]}}]})";

/// Somebody's documents, beside the sample's journal: they go with it.
std::string documentsOf(App& app) {
    const auto folder = app.phone.journal().file().place().database.parent_path() / "Documents" / "Discal";
    std::filesystem::create_directories(folder);
    return folder.string();
}

/// What the camera of a scene sees. One for all, since it outlives their apps; a scene stages it anew.
StagedCamera& eyes() {
    static StagedCamera camera;
    return camera;
}

/// The camera is there, and has seen nothing yet.
void openEyes(SamplePhone&, App& app) {
    eyes().refuses.reset();
    eyes().hasLight = false;
    eyes().stage(drawnTag(QStringLiteral("RKD"), QStringLiteral("015"), Seen::Well), {});
    eyes().join(app.camera);
}

/// The page is open: frames come that are refused so.
void refuse(App& app, services::Refusal why, Seen how) {
    services::Reading reading;
    reading.why = why;
    eyes().stage(drawnTag(QStringLiteral("RKD"), QStringLiteral("015"), how), reading);
    const QString before = app.camera.advice();
    eyes().runUntil([&] { return app.camera.advice() != before; });
}

/// What the camera says of a tag, with its picture.
viewmodels::TagReading readingOf(const char* letters, const char* digits) {
    services::Reading reading;
    reading.verdict = services::Verdict::Accepted;
    reading.text = std::string(letters) + " " + digits;
    if (const auto code = tag::Code::fromText(reading.text))
        reading.code = *code;
    reading.confidence = 0.996;
    reading.upright = frameFrom(drawnDisc(QString::fromLatin1(letters), QString::fromLatin1(digits), 240));
    return viewmodels::readingOf(reading, viewmodels::Keeping::Picture);
}

/// The sheet in hand, by its label.
void readSheetLabel(App& app) {
    if (const auto label = tag::readLabel("DISCAL SHEET 1 AAA000-IO RKD101 25 5"))
        app.sheets.takeLabel(*label);
}

} // namespace

const std::vector<Scene>& scenes() {
    static const auto agree = [](SamplePhone& phone, App& app) {
        if (app.tag.stage() == viewmodels::TagPageModel::Still) {
            phone.wait(1s);
            app.tag.still();
            phone.wait(1s);
        }
        if (app.tag.stage() == viewmodels::TagPageModel::Check)
            app.tag.answer(app.tag.letters() + QLatin1Char(' ') + app.tag.digits());
        phone.wait(1s);
    };
    // Until the receiver of the sample has said nothing for some minutes
    static const auto loseSignal = [](SamplePhone& phone, App& app) {
        for (int minute = 0; minute < 190; ++minute) {
            phone.wait(1min);
            app.tag.refreshStatus();
        }
        agree(phone, app);
    };
    // Some were held overnight, others came in just now.
    static const auto fillCage = [](SamplePhone& phone, App& app) {
        phone.wait(25h);
        for (int i = 0; i < 6; ++i) {
            services::Tagging::Note note;
            note.sex = i % 2 == 0 ? "male" : "female";
            note.origin = "reared";
            if (!app.phone.tagging.note(note) || !app.phone.tagging.hold(std::nullopt, "Porch cage"))
                return;
            phone.wait(2min);
        }
        emit app.phone.changed();
    };
    // A sex seen again, a measure that was a slip.
    static const auto amend = [](SamplePhone& phone, App& app) {
        const auto held = app.phone.projections().butterfliesWithFate(butterfly::Fate::Held);
        if (!held || held->empty())
            return;
        const auto& b = held->back();
        phone.wait(3min);
        app.correct.begin(QString::fromStdString(b.id.text()));
        app.correct.setProperty("sex", "female");
        app.correct.setProperty("code", "RKD 002");
        (void)app.correct.accept();
        (void)app.phone.done(app.phone.tagging.measured(b.id.text(), {51'500, {}, {}, {}, {}, "left forewing nicked"}));
        if (const auto act = app.phone.amending.lastAct(); act && *act)
            (void)app.phone.done(app.phone.amending.withdraw(**act, "undo"));
    };
    static const auto endPermit = [](SamplePhone& phone, App& app) {
        agree(phone, app);
        app.setup.begin();
        app.setup.setProperty("permitNumber", "SCP-118");
        app.setup.setProperty("lastDay", "2026-08-31");
        app.setup.save();
    };
    // A file stands where the folder of copies should be.
    static const auto failCopy = [](SamplePhone& phone, App& app) {
        std::ofstream(app.rest.copies().folder()) << "in the way";
        emit app.phone.changed();
        phone.wait(viewmodels::Rest::kQuiet);
        app.rest.look();
    };
    static const auto breakAll = [](SamplePhone& phone, App& app) {
        failCopy(phone, app);
        endPermit(phone, app);
        app.phone.setPositionRefused(true);
        phone.setClock(-1h);
        app.tag.refreshStatus();
        app.troubles.setBattery(12, true);
        app.troubles.setWarnings({storage::Warning::ReserveUsed});
    };
    // Over the meadow, and some along the creek; a field further north.
    static const auto spread = [](SamplePhone& phone, App& app) {
        (void)app.phone.stock.receive({"RKD 101", 50, {}, 10});
        place::Position field;
        field.latE7 = 435'629'000;
        field.lonE7 = -908'869'000;
        field.uncertaintyMm = 12'000;
        field.origin = place::Position::Origin::Site;
        (void)app.phone.station.site({"Goldenrod field", field, 120'000});
        for (int i = 0; i < 27; ++i) {
            const bool isAtCreek = i % 9 == 8;
            place::Position position;
            position.latE7 = (isAtCreek ? 435'540'500 : 435'565'500) + (i * 7'919) % 13'000;
            position.lonE7 = (isAtCreek ? -908'916'000 : -908'903'000) + (i * 10'007) % 21'000;
            position.uncertaintyMm = 4'000 + i % 5 * 1'500;
            position.origin = place::Position::Origin::Typed;
            phone.wait(2min);
            services::Tagging::Note note;
            note.sex = i % 3 == 1 ? "female" : "male";
            if (!app.phone.tagging.note(note))
                return;
            app.phone.session.setTypedPosition(position);
            if (!app.phone.tagging.release(std::nullopt))
                return;
        }
        emit app.phone.changed();
    };
    static const auto zoomOut = [](App& app, int times) {
        for (int i = 0; i < times; ++i)
            app.map.zoomOut();
    };
    static const std::vector<Scene> all{
        {"tag-check", 0, {}, {}, {}},
        {"tag-ready", 0, {}, {}, agree},
        {"tag-origin", 0, {}, {},
         [](SamplePhone&, App& app) {
             app.phone.carryOver([](auto& persisting) { persisting.origin.clear(); });
         }},
        {"tag-set-aside", 0, {}, {},
         [](SamplePhone& phone, App& app) {
             agree(phone, app);
             app.tag.note(QStringLiteral("female"));
             phone.wait(2min);
             app.tag.refreshStatus();
             phone.wait(1s);
         }},
        {"tag-still-hours", 0, {}, {}, 
         [](SamplePhone& phone, App& app) {
             phone.wait(3h);
             app.tag.refreshStatus();
         }},
        {"tag-still-elsewhere", 0, {}, {},
         [](SamplePhone& phone, App& app) {
             place::Position shed;
             shed.latE7 = 435'571'000;
             shed.lonE7 = -908'893'000;
             shed.uncertaintyMm = 15'000;
             shed.origin = place::Position::Origin::Site;
             place::Position ridge = shed;
             ridge.latE7 += 58'000;
             const auto far = phone.phone().station.site({"Goldenrod field", ridge, 120'000});
             (void)phone.phone().station.site({"Rearing shed", shed, 20'000});
             if (far)
                 app.phone.carryOver([&](auto& persisting) { persisting.site = far->id.text(); });
             phone.wait(1s);
         }},
        {"tag-permit-past", 0, {}, {}, endPermit},
        {"tag-in-hand", 0, {}, {},
         [](SamplePhone& phone, App& app) {
             agree(phone, app);
             app.tag.note(QStringLiteral("female"));
         }},
        {"tag-else", 0, "else", {},
         [](SamplePhone& phone, App& app) {
             agree(phone, app);
             app.tag.note(QStringLiteral("female"));
         }},
        {"tag-position-lost", 0, {}, {}, loseSignal},
        {"tag-clock-back", 0, {}, {},
         [](SamplePhone& phone, App& app) {
             agree(phone, app);
             phone.setClock(-1h);
             app.tag.refreshStatus();
         }},
        {"tag-clock-ahead", 0, {}, {},
         [](SamplePhone& phone, App& app) {
             agree(phone, app);
             phone.setClock(24h * 3652);
             app.tag.refreshStatus();
         }},
        {"tag-position-refused", 0, {}, {},
         [](SamplePhone& phone, App& app) {
             loseSignal(phone, app);
             app.phone.setPositionRefused(true);
         }},
        {"tag-storage", 0, {}, {},
         [](SamplePhone& phone, App& app) {
             agree(phone, app);
             app.troubles.setWarnings({storage::Warning::DiskNearlyFull});
         }},
        {"tag-no-copy", 0, {}, {},
         [](SamplePhone& phone, App& app) {
             agree(phone, app);
             failCopy(phone, app);
         },
         butterfly::Fate::Unclear, 21},
        {"tag-battery", 0, {}, {},
         [](SamplePhone& phone, App& app) {
             agree(phone, app);
             app.troubles.setBattery(12, true);
         }},
        {"tag-not-saved", 0, {}, {},
         [](SamplePhone& phone, App& app) {
             agree(phone, app);
             const FullDisk full;
             app.tag.note(QStringLiteral("female"));
         }},
        {"tag-in-hand-not-saved", 0, {}, {},
         [](SamplePhone& phone, App& app) {
             agree(phone, app);
             app.tag.note(QStringLiteral("female"));
             phone.wait(1s);
             const FullDisk full;
             app.tag.letGo();
         }},
        {"held", 1, {}, {}, fillCage},
        {"held-not-saved", 1, {}, {}, fillCage, butterfly::Fate::Unclear, 13,
         [](App& app) {
             const FullDisk full;
             app.held.allGo();
         }},
        {"held-empty", 1, {}, {},
         [](SamplePhone&, App& app) {
             app.held.setProperty("isShown", true);
             app.held.allGo();
         }},
        {"held-except", 1, "except", {}, fillCage, butterfly::Fate::Unclear, 13,
         [](App& app) {
             const auto staying = app.held.shownIds();
             for (const std::size_t i : {1U, 3U, 3U})
                 app.exceptions.next(QString::fromStdString(staying.at(i)));
         }},
        {"held-loose", 1, "loose", {}, fillCage},
        {"today", 2, {}, {}, {}},
        {"today-story", 2, {}, {},
         [](SamplePhone&, App& app) {
             if (const auto last = app.phone.tagging.find("RKD 012"))
                 app.today.setProperty("chosen", QString::fromStdString(last->id.text()));
         }},
        {"today-no-copy", 2, {}, {}, failCopy, butterfly::Fate::Unclear, 24},
        {"today-battery", 2, {}, {}, [](SamplePhone&, App& app) { app.troubles.setBattery(12, true); }},
        {"today-storage", 2, {}, {},
         [](SamplePhone&, App& app) { app.troubles.setWarnings({storage::Warning::DiskNearlyFull}); }},
        {"today-troubles", 2, {}, {}, breakAll, butterfly::Fate::Unclear, 24},
        {"troubles", 0, "troubles", {}, breakAll, butterfly::Fate::Unclear, 24},
        {"troubles-none", 0, "troubles", {}, {}},
        {"today-empty", 2, {}, {}, {}, butterfly::Fate::Unclear, 0},
        {"story", 2, "story", {}, amend, butterfly::Fate::Held},
        {"story-picture", 2, "story", {},
         [](SamplePhone& phone, App& app) {
             agree(phone, app);
             app.tag.takeReading(readingOf("RKD", "015"));
             app.tag.keepReading();
             app.tag.note(QStringLiteral("female"));
         },
         butterfly::Fate::Noted},
        {"line", 2, "line", {}, {}, butterfly::Fate::Held},
        {"correct", 2, "correct", {}, {}, butterfly::Fate::Held},
        {"copy", 2, "copy", {}, {}},
        {"first-start", 0, {}, {}, {}, butterfly::Fate::Unclear, kNothingYet},
        {"first-start-understood", 0, {}, {},
         [](SamplePhone&, App& app) {
             app.sheets.setProperty("first", "rkd 001");
             app.sheets.setProperty("countText", "25");
         },
         butterfly::Fate::Unclear, kNothingYet},
        {"first-start-look-alike", 0, {}, {},
         [](SamplePhone&, App& app) { app.sheets.setProperty("first", "RK0 0l4"); },
         butterfly::Fate::Unclear, kNothingYet},
        {"sheet", 0, "sheet", {}, agree},
        {"sheet-check", 0, "sheet", "check", {}},
        {"sheet-digits", 0, "digits", {}, agree, butterfly::Fate::Unclear, 13,
         [](App& app) { app.sheet.setLastDigits(QStringLiteral("6")); }},
        {"already", 0, "already", {}, agree, butterfly::Fate::Unclear, 13,
         [](App& app) { app.already.setDigits(QStringLiteral("004")); }},
        {"already-look", 0, "already", {}, agree, butterfly::Fate::Unclear, 13,
         [](App& app) {
             app.already.setDigits(QStringLiteral("004"));
             app.already.confirmCode();
             app.already.setMarkIndex(1);
         }},
        {"already-known", 0, "already", {}, agree, butterfly::Fate::Unclear, 13,
         [](App& app) {
             app.already.setDigits(QStringLiteral("004"));
             app.already.confirmCode();
             app.tag.recapture(app.already.code(), QStringLiteral("readable"), QStringLiteral("female"));
         }},
        {"already-read-known", 0, "already", {}, agree, butterfly::Fate::Unclear, 13,
         [](App& app) { app.already.takeReading(readingOf("RKD", "004")); }},
        {"already-read-foreign", 0, "already", {}, agree, butterfly::Fate::Unclear, 13,
         [](App& app) { app.already.takeReading(readingOf("ZQM", "417")); }},
        {"tag-read", 0, {}, {},
         [](SamplePhone& phone, App& app) {
             agree(phone, app);
             app.tag.takeReading(readingOf("RKD", "015"));
         }},
        {"tag-read-kept", 0, {}, {},
         [](SamplePhone& phone, App& app) {
             agree(phone, app);
             app.tag.takeReading(readingOf("RKD", "015"));
             app.tag.keepReading();
         }},
        {"tag-read-differs", 0, {}, {},
         [](SamplePhone& phone, App& app) {
             agree(phone, app);
             app.tag.takeReading(readingOf("RKD", "017"));
         }},
        {"tag-read-used", 0, {}, {},
         [](SamplePhone& phone, App& app) {
             agree(phone, app);
             app.tag.takeReading(readingOf("RKD", "004"));
         }},
        {"tag-read-unlisted", 0, {}, {},
         [](SamplePhone& phone, App& app) {
             agree(phone, app);
             app.tag.takeReading(readingOf("ZQM", "417"));
         }},
        {"camera-opening", 0, "camera", "next", openEyes},
        {"camera-aiming", 0, "camera", "next", openEyes, butterfly::Fate::Unclear, 13,
         [](App& app) {
             eyes().hasLight = true;
             eyes().runUntil([&] { return app.camera.state() == viewmodels::CameraPageModel::Aiming; });
         }},
        {"camera-no-tag", 0, "camera", "next", openEyes, butterfly::Fate::Unclear, 13,
         [](App& app) { refuse(app, services::Refusal::NoTag, Seen::Not); }},
        {"camera-too-far", 0, "camera", "next", openEyes, butterfly::Fate::Unclear, 13,
         [](App& app) { refuse(app, services::Refusal::TooFar, Seen::Far); }},
        {"camera-blurred", 0, "camera", "next", openEyes, butterfly::Fate::Unclear, 13,
         [](App& app) { refuse(app, services::Refusal::Blurred, Seen::Blurred); }},
        {"camera-glare", 0, "camera", "next", openEyes, butterfly::Fate::Unclear, 13,
         [](App& app) { refuse(app, services::Refusal::Glare, Seen::Glare); }},
        {"camera-covered", 0, "camera", "next", openEyes, butterfly::Fate::Unclear, 13,
         [](App& app) { refuse(app, services::Refusal::Covered, Seen::Covered); }},
        {"camera-unsure", 0, "camera", "already", openEyes, butterfly::Fate::Unclear, 13,
         [](App& app) { refuse(app, services::Refusal::Unsure, Seen::Well); }},
        {"camera-label", 0, "camera", "label", openEyes, butterfly::Fate::Unclear, 13,
         [](App& app) {
             eyes().runUntil([&] { return app.camera.state() == viewmodels::CameraPageModel::Aiming; });
         }},
        {"camera-no-run", 0, "camera", "run", openEyes, butterfly::Fate::Unclear, 13,
         [](App& app) {
             services::Reading reading;
             reading.barcodes = {{services::Symbology::QrCode, "https://example.org/"}};
             eyes().stage(drawnTag(QStringLiteral("RKD"), QStringLiteral("015"), Seen::Not), reading);
             const QString before = app.camera.advice();
             eyes().runUntil([&] { return app.camera.advice() != before; });
         }},
        {"camera-none", 0, "camera", "next", {}},
        {"camera-not-allowed", 0, "camera", "already",
         [](SamplePhone& phone, App& app) {
             openEyes(phone, app);
             eyes().refuses = Code::NotAllowed;
         }},
        {"camera-broken", 0, "camera", "next",
         [](SamplePhone& phone, App& app) {
             openEyes(phone, app);
             eyes().refuses = Code::Io;
         }},
        {"camera-asleep", 0, "camera", "next", openEyes, butterfly::Fate::Unclear, 13,
         [](App& app) { app.camera.setAwake(false); }},
        {"measure", 0, "measure", {},
         [](SamplePhone& phone, App& app) {
             agree(phone, app);
             app.tag.note(QStringLiteral("female"));
         }},
        {"setup", 3, {}, {}, endPermit},
        {"people", 0, "people", {}, {}},
        {"sites", 0, "sites", {}, {}},
        {"new-site", 0, "newsite", {}, {}, butterfly::Fate::Unclear, 13,
         [](App& app) {
             app.sites.setProperty("name", "Oak savanna");
             app.sites.setProperty("way", 1);
             app.sites.setProperty("latitude", "43,5571");
             app.sites.setProperty("longitude", "90.8893 W");
             app.sites.setProperty("within", "50");
             app.sites.setProperty("leave", 0);
         }},
        {"new-site-here", 0, "newsite", {}, {}, butterfly::Fate::Unclear, 13,
         [](App& app) {
             app.sites.setProperty("name", "Oak savanna");
             app.sites.setProperty("way", 0);
         }},
        {"leaves", 3, "leaves", {}, {}},
        {"new-site-swapped", 0, "newsite", {}, {}, butterfly::Fate::Unclear, 13,
         [](App& app) {
             app.sites.setProperty("name", "Oak savanna");
             app.sites.setProperty("way", 1);
             app.sites.setProperty("latitude", "90\u00B0 53.334' W");
             app.sites.setProperty("longitude", "43\u00B0 33.426' N");
             app.sites.setProperty("within", "50");
         }},
        {"boundaries-none", 3, "boundaries", {},
         [](SamplePhone&, App& app) { app.boundaries.setFolder(QString::fromStdString(documentsOf(app))); }},
        {"boundaries", 3, "boundaries", {}, {}, butterfly::Fate::Unclear, 13,
         [](App& app) {
             const std::string folder = documentsOf(app);
             for (const char* name : {"municipios.geojson", "census-divisions.geojson"})
                 std::ofstream(folder + "/" + name) << kInventedDistrict;
             app.boundaries.setFolder(QString::fromStdString(folder));
             app.boundaries.takeFound(QStringLiteral("municipios.geojson"));
         }},
        {"boundaries-bad", 3, "boundaries", {}, {}, butterfly::Fate::Unclear, 13,
         [](App& app) {
             const std::string folder = documentsOf(app);
             std::ofstream(folder + "/districts.geojson") << "name;area";
             app.boundaries.setFolder(QString::fromStdString(folder));
             app.boundaries.takeFound(QStringLiteral("districts.geojson"));
         }},
        {"station", 0, "station", {}, {}},
        {"map-site", 2, "map", {}, spread},
        {"map-county", 2, "map", {}, spread, butterfly::Fate::Unclear, 13, [](App& app) { zoomOut(app, 7); }},
        {"map-state", 2, "map", {}, spread, butterfly::Fate::Unclear, 13, [](App& app) { zoomOut(app, 10); }},
        {"map-continent", 2, "map", {}, spread, butterfly::Fate::Unclear, 13, [](App& app) { zoomOut(app, 13); }},
        {"map-no-fix", 0, "map", {}, loseSignal},
        {"placing", 0, "placing", {}, {}, butterfly::Fate::Unclear, 13, [](App& app) { app.map.move(-70, 96); }},
        {"placing-far", 0, "placing", {}, {}, butterfly::Fate::Unclear, 0, [](App& app) { zoomOut(app, 5); }},
        {"town", 0, "town", {}, {}, butterfly::Fate::Unclear, 13,
         [](App& app) { app.towns.setProperty("typed", "la c"); }},
        {"town-empty", 0, "town", "site", {}},
        {"town-none", 0, "town", {}, {}, butterfly::Fate::Unclear, 13,
         [](App& app) { app.towns.setProperty("typed", "xyz"); }},
        {"new-site-placed", 0, "newsite", {}, {}, butterfly::Fate::Unclear, 13,
         [](App& app) { app.sites.takePlace({435'571'000, -908'893'000, 46'000}, QStringLiteral("Oak savanna"), 3); }},
        {"sheets", 0, "sheets", {}, {}},
        {"new-sheet", 0, "newsheet", {}, {}},
        {"new-sheet-label", 0, "newsheet", {}, {}, butterfly::Fate::Unclear, 13, readSheetLabel},
        {"first-start-label", 0, {}, {}, [](SamplePhone&, App& app) { readSheetLabel(app); },
         butterfly::Fate::Unclear, kNothingYet},
        {"no-tag", 0, {}, {},
         [](SamplePhone&, App& app) {
             if (const auto free = app.phone.stock.nextFree(25))
                 for (const tag::Code& code : *free)
                     (void)app.phone.stock.spoil(code);
             emit app.phone.changed();
         }},
        {"session", 2, "session", {},
         [](SamplePhone& phone, App& app) {
             const bool isMetric = app.weather.windUnit() == QLatin1String("m/s");
             app.weather.setProperty("air", isMetric ? "19" : "66");
             app.weather.setProperty("wind", isMetric ? "2" : "5");
             app.weather.setProperty("cloud", 1);
             app.weather.setProperty("rain", 1);
             app.weather.write();
             phone.wait(5min);
             emit app.phone.changed();
         }},
        {"session-in-hand", 2, "session", {},
         [](SamplePhone& phone, App& app) {
             agree(phone, app);
             app.tag.note(QStringLiteral("female"));
         }},
        {"session-ended", 2, "session", {},
         [](SamplePhone& phone, App& app) {
             phone.wait(10min);
             app.session.begin();
             app.session.setProperty("people", "2");
             app.session.setProperty("note", "most of them on the goldenrod by the fence");
             app.session.end();
         }},
        {"weather", 2, "weather", {}, {}},
        {"phone", 3, "phone", {}, {}},
        {"credits", 3, "credits", {}, {}},
        {"cage", 3, "cage", {}, {}},
        {"schemes", 3, "schemes", {},
         [](SamplePhone&, App& app) {
             (void)app.phone.stock.receive({"RKD 101", 50, {}, 10});
             (void)app.phone.done(app.phone.stock.receive({"QB 0001", 100, {}, 0}));
         }},
        {"hand-run", 3, "handrun", {}, {}, butterfly::Fate::Unclear, 13,
         [](App& app) {
             app.handing.setProperty("count", 5);
             app.handing.setDeviceCode(QStringLiteral("eh7d dx5b ksrg cytl 7bka i36s e4"));
         }},
        {"hand-run-choices", 3, "handrun", {},
         [](SamplePhone&, App& app) {
             (void)app.phone.stock.receive({"RKD 101", 50, {}, 10});
             if (const auto other = journal::DeviceId::parse("eh7ddx5bksrgcytl7bkai36se4"))
                 (void)app.phone.done(app.phone.station.enrol(*other, "recorder"));
         },
         butterfly::Fate::Unclear, 13,
         [](App& app) {
             app.handing.setProperty("run", 1);
             app.handing.setProperty("device", 0);
         }},
        {"hand-run-shown", 3, "handrun", {}, {}, butterfly::Fate::Unclear, 13,
         [](App& app) {
             app.handing.setProperty("count", 5);
             app.handing.setDeviceCode(QStringLiteral("eh7d dx5b ksrg cytl 7bka i36s e4"));
             app.handing.hand();
         }},
        {"take-run", 3, "takerun", {}, {}, butterfly::Fate::Unclear, 13,
         [](App& app) {
             app.handing.setProperty("first", "RKD 026");
             app.handing.setProperty("countText", "10");
         }},
        {"take-run-done", 3, "takerun", {}, {}, butterfly::Fate::Unclear, 13,
         [](App& app) {
             app.handing.setProperty("first", "RKD 026");
             app.handing.setProperty("countText", "10");
             app.handing.take();
         }},
    };
    return all;
}

const std::vector<Look>& looks() {
    static const std::vector<Look> all{
        {"field", {360, 780}, false, 100},       {"night", {360, 780}, true, 100},
        {"small", {360, 640}, false, 100},       {"large-text", {360, 780}, false, 200},
        {"wide", {1100, 760}, false, 100},
    };
    return all;
}

namespace {

/// Changes with everything's place and size.
std::size_t layoutOf(const QQuickItem* item) {
    std::size_t seed = qHashMulti(0, item->x(), item->y(), item->width(), item->height(), item->isVisible());
    for (const QQuickItem* child : item->childItems())
        seed = qHashMulti(seed, layoutOf(child));
    return seed;
}

} // namespace

void settle(QQuickWindow* window) {
    constexpr int kLeast = 5;
    constexpr int kMost = 100;
    std::size_t before = 0;
    int still = 0;
    for (int i = 0; i < kMost && (i < kLeast || still < 2); ++i) {
        QCoreApplication::processEvents(QEventLoop::AllEvents, 20);
        // Lists make the rows that are just out of sight when they have time: here they are given it.
        if (QQmlIncubationController* rows = window->incubationController(); rows->incubatingObjectCount() > 0)
            rows->incubateFor(20);
        window->contentItem()->ensurePolished();
        const std::size_t now = layoutOf(window->contentItem());
        still = now == before ? still + 1 : 0;
        before = now;
    }
}

bool show(const Scene& scene, const std::function<void(QQuickWindow*, App&)>& use) {
    SamplePhone phone;
    if (scene.morning != kNothingYet)
        phone.spendMorning(scene.morning);
    App app(phone.phone(), nullptr);
    app.settings.setProperty("reducedMotion", true);
    phone.wait(1s);
    if (scene.prepare)
        scene.prepare(phone, app);
    if (app.load()) {
        QQuickWindow* window = app.window();
        window->setProperty("page", scene.page);
        window->setProperty("openedWith", scene.openedWith);
        if (scene.openedWithFate != butterfly::Fate::Unclear) {
            const auto found = app.phone.projections().butterfliesWithFate(scene.openedWithFate);
            const bool isFound = found && !found->empty();
            const std::string id = !isFound ? std::string()
                                   : scene.opened == QLatin1String("line") ? found->back().noteLine
                                                                           : found->back().id.text();
            window->setProperty("openedWith", QString::fromStdString(id));
        }
        window->setProperty("opened", scene.opened);
        settle(window);
        if (scene.then) {
            scene.then(app);
            settle(window);
        }
        use(window, app);
    }
    for (const QString& warning : app.warnings())
        std::cerr << scene.name.toStdString() << ": " << warning.toStdString() << "\n";
    return app.window() != nullptr && app.warnings().isEmpty();
}

void put(const Look& look, QQuickWindow* window, App& app) {
    app.settings.setProperty("theme", look.isNight ? "night" : "field");
    app.settings.setProperty("textPercent", look.textPercent);
    window->resize(look.size);
    settle(window);
}

} // namespace discal::app
