#include "catch_compat.hpp"
#include "screen.h"

#include "app/full_disk.h"

#include <QTest>
#include <algorithm>

// A save that fails stays on the screen, named, with a way on, until it is put right; and is then made once.

using namespace discal;
using namespace discal::tests;

namespace {

const app::Scene& sceneNamed(const QString& name) {
    const auto& all = app::scenes();
    return *std::find_if(all.begin(), all.end(), [&](const app::Scene& scene) { return scene.name == name; });
}

std::int64_t linesIn(app::App& app) { return app.phone.journal().head().seq; }

bool isSaid(QQuickWindow* window, const QString& words) {
    const auto texts = textsIn(window);
    return std::find(texts.begin(), texts.end(), words) != texts.end();
}

/// After a frame and half a second: what has just appeared has its place then, and takes taps.
void tapOn(app::App& app, QQuickWindow* window, const QString& name) {
    auto& clock = dynamic_cast<services::sample::ReplayClock&>(app.phone.clock());
    clock.setTrueTime(clock.trueTime() + std::chrono::milliseconds(500));
    (void)window->grabWindow();
    tap(window, targetNamed(window, name));
}

/// Wholly on the screen, above the bar of pages.
void checkInSight(QQuickWindow* window, const QString& name) {
    (void)window->grabWindow();
    const Target key = targetNamed(window, name);
    const double floor = targetNamed(window, "Set up").area.top();
    INFO(name.toStdString() << " from " << key.area.top() << " to " << key.area.bottom() << ", the bar at " << floor);
    CHECK(key.area.top() >= 0);
    CHECK(key.area.bottom() <= floor);
}

} // namespace

TEST_CASE("A butterfly that could not be saved is named, and saved once when the disk takes it again", "[app]") {
    application();
    CHECK(app::show(sceneNamed("tag-ready"), [](QQuickWindow* window, app::App& app) {
        const std::int64_t before = linesIn(app);
        const QString code = app.tag.letters() + QLatin1Char(' ') + app.tag.digits();
        {
            const app::FullDisk full;
            tapOn(app, window, "female");
            CHECK(isSaid(window, code + ", female, is not saved."));
            CHECK(linesIn(app) == before);
            CHECK(app.tag.stage() == viewmodels::TagPageModel::Ready);
            // Again, while it is still full: still there
            tapOn(app, window, "try again");
            CHECK(isSaid(window, code + ", female, is not saved."));
            CHECK(linesIn(app) == before);
        }
        tapOn(app, window, "try again");
        CHECK_FALSE(isSaid(window, code + ", female, is not saved."));
        CHECK(app.tag.stage() == viewmodels::TagPageModel::InHand);
        CHECK(linesIn(app) == before + 1);
        const auto found = app.phone.tagging.find(code.toStdString());
        REQUIRE(found);
        CHECK(found->sex == "female");
    }));
}

TEST_CASE("A cage that could not be let go is let go once when the disk takes it again", "[app]") {
    application();
    CHECK(app::show(sceneNamed("held-not-saved"), [](QQuickWindow* window, app::App& app) {
        const std::int64_t before = linesIn(app);
        const int held = app.held.heldCount();
        REQUIRE(held > 1);
        CHECK(isSaid(window, QString("%1 butterflies: letting them go is not saved.").arg(held)));
        tapOn(app, window, "try again");
        CHECK(app.held.failure()->sentence().isEmpty());
        CHECK(app.held.heldCount() == 0);
        CHECK(linesIn(app) == before + held);
    }));
}

TEST_CASE("What is not saved, and the key to try again, are in sight at 200 % on a small screen", "[app]") {
    application();
    for (const char* name : {"tag-not-saved", "tag-in-hand-not-saved", "held-not-saved"}) {
        INFO(name);
        CHECK(app::show(sceneNamed(name), [](QQuickWindow* window, app::App& app) {
            for (const int percent : {100, 200}) {
                app::put({"", {360, 640}, false, percent}, window, app);
                INFO(percent << " %");
                checkInSight(window, "try again");
                checkInSight(window, "keep a copy");
            }
        }));
    }
}

TEST_CASE("Wherever she had scrolled to, a save that fails is seen", "[app]") {
    application();
    CHECK(app::show(sceneNamed("tag-ready"), [](QQuickWindow* window, app::App& app) {
        app::put({"", {360, 640}, false, 200}, window, app);
        // Down to the sexes, as a thumb would
        for (int i = 0; i < 4; ++i) {
            QTest::mousePress(window, Qt::LeftButton, {}, {180, 480});
            for (int y = 480; y >= 180; y -= 20)
                QTest::mouseMove(window, {180, y}, 20);
            QTest::mouseRelease(window, Qt::LeftButton, {}, {180, 180});
            (void)window->grabWindow();
        }
        REQUIRE(targetNamed(window, "female").area.bottom() < 640);
        {
            const app::FullDisk full;
            tapOn(app, window, "female");
        }
        checkInSight(window, "try again");
    }));
}
