#include "catch_compat.hpp"
#include "screen.h"

#include <QImage>
#include <algorithm>

// Seen with large text on 27 November 2026: the arrow of "undo", scrolled off the Tag page, was drawn over the bar.

using namespace discal;
using namespace discal::tests;

namespace {

QQuickItem* flickableIn(QQuickItem* item) {
    if (!item->isVisible() || item->inherits("QQuickFlickable"))
        return item->isVisible() ? item : nullptr;
    for (QQuickItem* child : item->childItems())
        if (QQuickItem* found = flickableIn(child))
            return found;
    return nullptr;
}

} // namespace

TEST_CASE("What has scrolled off a page is not drawn over the page bar", "[app]") {
    application();
    const auto& all = app::scenes();
    const auto scene = std::find_if(all.begin(), all.end(), [](const auto& one) { return one.name == "tag-ready"; });
    CHECK(app::show(*scene, [](QQuickWindow* window, app::App& app) {
        app::put({"", {360, 780}, false, 200}, window, app);
        QQuickItem* page = flickableIn(window->contentItem());
        REQUIRE(page != nullptr);
        const int floor = static_cast<int>(page->mapRectToScene({0, 0, page->width(), page->height()}).bottom());
        const auto bar = [&] {
            app::settle(window);
            return window->grabWindow().copy(0, floor, 360, 780 - floor);
        };
        // The middle of the key, where its arrow is, lies behind the bar
        const double end = page->property("contentHeight").toDouble() - page->height();
        page->setProperty("contentY", end);
        const double key = targetNamed(window, "undo").area.center().y() + end;
        page->setProperty("contentY", key - floor - 21);
        const QImage before = bar();
        // A frame in which the page moves and the bar stays: the bar itself isn't drawn again
        page->setProperty("contentY", key - floor - 20);
        REQUIRE(targetNamed(window, "undo").area.center().y() - 12 > floor);
        CHECK(before == bar());
    }));
}
