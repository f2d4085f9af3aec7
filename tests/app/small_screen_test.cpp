#include "catch_compat.hpp"
#include "screen.h"

#include <algorithm>

// On a phone of 360 x 640 dp nothing that a record needs is out of sight.

using namespace discal;
using namespace discal::tests;

namespace {

void showAt(const char* name, int percent, const std::function<void(QQuickWindow*)>& check) {
    application();
    INFO(name);
    const auto& all = app::scenes();
    const auto scene = std::find_if(all.begin(), all.end(), [&](const auto& one) { return one.name == name; });
    REQUIRE(scene != all.end());
    CHECK(app::show(*scene, [&](QQuickWindow* window, app::App& app) {
        app::put({"", {360, 640}, false, percent}, window, app);
        // A frame: until then layouts aren't done
        (void)window->grabWindow();
        check(window);
    }));
}

void checkInSight(QQuickWindow* window, const QString& key, double floor) {
    const Target target = targetNamed(window, key);
    INFO(key.toStdString() << " from " << target.area.top() << " to " << target.area.bottom());
    CHECK(target.area.top() >= 0);
    CHECK(target.area.bottom() <= floor);
}

} // namespace

TEST_CASE("On a small screen the pages of a record need no scrolling", "[app]") {
    for (const char* name : {"tag-check", "tag-ready", "tag-set-aside", "tag-storage", "tag-origin", "tag-still-hours",
                             "tag-still-elsewhere", "tag-in-hand", "first-start", "first-start-understood", "take-run",
                             "take-run-done", "already", "already-look"})
        showAt(name, 100, [](QQuickWindow* window) {
            for (const Target& target : targetsIn(window)) {
                INFO(target.name.toStdString());
                CHECK_FALSE(target.isScrolled);
                CHECK(target.area.bottom() <= 640);
            }
        });
    showAt("held", 100, [](QQuickWindow* window) {
        const double floor = targetNamed(window, "Set up").area.top();
        for (const char* key : {"All go, here, now: Ridge meadow", "all go, except some", "a tag lies loose"})
            checkInSight(window, key, floor);
    });
}

TEST_CASE("On a small screen the keys come first where text is large", "[app]") {
    const auto keysOf = [](const char* scene, const QStringList& keys) {
        showAt(scene, 200, [&](QQuickWindow* window) {
            const double floor = targetNamed(window, "Set up").area.top();
            for (const QString& key : keys)
                checkInSight(window, key, floor);
        });
    };
    keysOf("tag-still-hours", {"Yes, still so", "another site"});
    keysOf("tag-still-elsewhere", {"No: Ridge meadow", "Yes, still so", "another site"});
    keysOf("tag-check", {"RKD 013", "RKD 014", "RKD 015", "another"});
    keysOf("tag-origin", {"wild", "reared"});
    keysOf("tag-in-hand", {"Let go"});
    keysOf("tag-ready", {"male", "female"});
}
