#include "app/staged_camera.h"
#include "catch_compat.hpp"
#include "drawings/frame_view.h"
#include "screen.h"

#include <QTemporaryDir>
#include <algorithm>

// What a tap on a camera key leads to, on every page that has one. Frames and readings are staged.

using namespace discal;
using namespace discal::tests;
using viewmodels::CameraPageModel;
using viewmodels::TagPageModel;

namespace {

class Walk {
public:
    /// `noted` butterflies before; with kNothingYet the program has just been installed, on a phone of its own.
    explicit Walk(int noted = 13)
        : phone(m_folder.path(), noted == app::kNothingYet ? 2 : 1, std::chrono::milliseconds(0)) {
        application();
        if (noted != app::kNothingYet)
            phone.spendMorning(noted);
        app = std::make_unique<app::App>(phone.phone(), nullptr);
        app->settings.setProperty("reducedMotion", true);
        camera.join(app->camera);
        REQUIRE(app->load());
        window = app->window();
        app::settle(window);
    }

    void tapOn(const QString& name) {
        phone.wait(std::chrono::milliseconds(500));
        app::settle(window);
        INFO(name.toStdString());
        tap(window, targetNamed(window, name));
        app::settle(window);
    }
    void agree() {
        if (app->tag.stage() == TagPageModel::Check)
            app->tag.answer(app->tag.letters() + QLatin1Char(' ') + app->tag.digits());
        phone.wait(std::chrono::seconds(1));
    }
    void stage(const std::string& code, services::Verdict verdict) {
        services::Reading reading;
        reading.verdict = verdict;
        reading.text = code;
        if (const auto parsed = tag::Code::fromText(code))
            reading.code = *parsed;
        reading.confidence = 0.99;
        reading.upright = app::frameFrom(app::drawnDisc("RKD", "014", 120));
        camera.stage(app::drawnTag("RKD", "014", app::Seen::Well), reading);
    }
    void stageBarcode(const QString& text) {
        services::Reading reading;
        reading.barcodes = {{services::Symbology::QrCode, text.toStdString()}};
        camera.stage(app::drawnTag("RKD", "014", app::Seen::Not), reading);
    }
    /// The camera's page is open until it has its verdict.
    void look() {
        REQUIRE(opened() == "camera");
        camera.runUntil([&] { return opened() != QLatin1String("camera"); });
        CHECK(opened() != "camera");
        app::settle(window);
    }
    [[nodiscard]] QString opened() const { return window->property("opened").toString(); }
    [[nodiscard]] bool isThere(const QString& name) const {
        const auto targets = targetsIn(window);
        return std::any_of(targets.begin(), targets.end(), [&](const Target& one) { return one.name == name; });
    }

    app::StagedCamera camera;
private:
    QTemporaryDir m_folder;

public:
    app::SamplePhone phone;
    std::unique_ptr<app::App> app;
    QQuickWindow* window{nullptr};
};

} // namespace

TEST_CASE("Camera, that is it, sex: three taps write a butterfly down with what was read", "[app][camera]") {
    Walk walk;
    walk.agree();
    walk.stage("RKD 015", services::Verdict::Accepted);
    walk.tapOn("camera");
    walk.look();
    CHECK(walk.opened().isEmpty());
    CHECK(walk.app->tag.stage() == TagPageModel::Read);
    walk.tapOn("That is it");
    CHECK(walk.app->tag.stage() == TagPageModel::Ready);
    walk.tapOn("female");
    REQUIRE(walk.app->tag.stage() == TagPageModel::InHand);
    const auto b = walk.app->phone.tagging.find(std::nullopt);
    REQUIRE(b);
    CHECK(b->currentCode() == "RKD 015");
    const auto line = walk.app->phone.projections().linesWithId(journal::Uuid::parse(b->noteLine).value());
    CHECK(journal::numberIn(line->front().line->body, "read_per_mille") == 990);
}

TEST_CASE("One tap rejects a reading, or reads again", "[app][camera]") {
    Walk walk;
    walk.agree();
    walk.stage("RKD 018", services::Verdict::Accepted);
    walk.tapOn("camera");
    walk.look();
    CHECK(walk.isThere("RKD 015, as offered"));
    CHECK(walk.isThere("RKD 018, as read"));
    walk.tapOn("read it again");
    CHECK(walk.opened() == "camera");
    walk.stage("RKD 015", services::Verdict::Accepted);
    walk.look();
    walk.tapOn("no, that is not it");
    CHECK(walk.app->tag.stage() == TagPageModel::Ready);
    CHECK(walk.app->tag.digits() == "015");
    CHECK_FALSE(walk.app->tag.isNextRead());
}

TEST_CASE("To the question what the tag says the camera may answer", "[app][camera]") {
    Walk walk;
    REQUIRE(walk.app->tag.stage() == TagPageModel::Check);
    walk.stage("RKD 015", services::Verdict::Accepted);
    walk.tapOn("camera");
    walk.look();
    walk.tapOn("That is it");
    CHECK(walk.app->tag.stage() == TagPageModel::Ready);
}

TEST_CASE("Without a camera the pad of our codes is one tap away, and back leads to the Tag page", "[app][camera]") {
    Walk walk;
    walk.agree();
    walk.camera.refuses = Code::NotAllowed;
    walk.tapOn("camera");
    CHECK(walk.app->camera.state() == CameraPageModel::NotAllowed);
    walk.tapOn("type the last digits");
    CHECK(walk.opened() == "digits");
    // The next free ones stand there before anything is typed.
    CHECK(walk.isThere("RKD 015"));
    CHECK(walk.isThere("RKD 016"));
    walk.tapOn("back");
    CHECK(walk.opened().isEmpty());
}

TEST_CASE("A tag that a butterfly came with is read, and its story told before anything is written", "[app][camera]") {
    Walk walk;
    walk.agree();
    walk.tapOn("already tagged");
    walk.stage("RKD 004", services::Verdict::Accepted);
    walk.tapOn("camera");
    walk.look();
    CHECK(walk.opened() == "already");
    CHECK(walk.app->already.isCodeDone());
    CHECK(walk.app->already.code() == "RKD 004");
    CHECK(walk.app->already.history().startsWith("noted "));
    walk.tapOn("How does the tag look? readable");
    walk.tapOn("Which sex? male");
    walk.tapOn("Write it down");
    const auto lines = walk.app->phone.projections().linesOfSubject(walk.app->phone.tagging.find("RKD 004")->id.text());
    CHECK(journal::numberIn(lines->back().line->body, "read_per_mille") == 990);
}

TEST_CASE("A label proposes, and the sheet is taken in by a yes", "[app][camera]") {
    Walk walk(app::kNothingYet);
    walk.stageBarcode("DISCAL SHEET 1 AAA000 RKD101 25 5");
    walk.tapOn("camera");
    walk.look();
    CHECK(walk.app->sheets.isFirstStart());
    SECTION("no") {
        walk.tapOn("no, it is elsewhere");
        CHECK(walk.app->sheets.isFirstStart());
        CHECK(walk.isThere("Begin") == false);
    }
    SECTION("yes") {
        walk.tapOn("Yes, with this phone");
        CHECK_FALSE(walk.app->sheets.isFirstStart());
        CHECK(walk.app->tag.digits() == "101");
    }
}

TEST_CASE("Tags go from screen to screen: one phone shows them, the other reads and takes them", "[app][camera]") {
    Walk giver(3);
    Walk taker(app::kNothingYet);
    taker.app->setup.begin();
    giver.app->handing.begin();
    giver.app->handing.setProperty("run", 0);
    giver.app->handing.setProperty("count", 5);
    giver.app->handing.setDeviceCode(taker.app->setup.deviceCode());
    REQUIRE(giver.app->handing.hand());
    taker.stageBarcode(giver.app->handing.payload());
    taker.tapOn("tags come from another phone");
    taker.tapOn("camera");
    taker.look();
    CHECK(taker.opened() == "takerun");
    taker.tapOn("Take them");
    CHECK(taker.app->handing.taken().startsWith("RKD 021-025"));
}

TEST_CASE("The camera runs while its page is open, and no longer", "[app][camera]") {
    Walk walk;
    walk.agree();
    walk.stage("RKD 015", services::Verdict::Refused);
    walk.tapOn("camera");
    walk.camera.runUntil([&] { return walk.app->camera.state() == CameraPageModel::Aiming; });
    CHECK(walk.camera.isRunning());
    emit qGuiApp->applicationStateChanged(Qt::ApplicationSuspended);
    CHECK_FALSE(walk.camera.isRunning());
    CHECK(walk.app->camera.state() == CameraPageModel::Asleep);
    emit qGuiApp->applicationStateChanged(Qt::ApplicationActive);
    CHECK(walk.camera.isRunning());
    walk.tapOn("back");
    CHECK_FALSE(walk.camera.isRunning());
    CHECK(walk.app->camera.state() == CameraPageModel::Closed);
}

TEST_CASE("At night the view is amber: no more blue than the night theme has", "[app][camera]") {
    QImage white(4, 4, QImage::Format_RGB32);
    white.fill(Qt::white);
    const QColor amber = drawings::inAmber(white).pixelColor(1, 1);
    CHECK(amber.blueF() <= 0.6 * amber.redF() + 0.05);  // as tests/app/pages_test.cpp asks of the theme
    white.fill(Qt::black);
    CHECK(drawings::inAmber(white).pixelColor(1, 1) == QColor(Qt::black));
}
