#include "catch_compat.hpp"
#include "screen.h"

#include <QImage>
#include <QQmlComponent>
#include <QQuickView>
#include <QTest>
#include <algorithm>

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

TEST_CASE("A drawing fills its item, keeps its shape, and is seen in a mirror", "[app]") {
    application();
    QQuickView view;
    // Of Qt's own items only the background; the drawing's units are a tenth of the item's height.
    QQmlComponent component(view.engine());
    component.setData("import QtQuick\nimport Discal.Drawings\n"
                      "InkDrawing { width: 120; height: 40; canvas: Qt.rect(-10, 0, 20, 10)\n"
                      "  InkPath { fill: \"#ff0000\"; mirrored: true; path: \"M 2 2 H 8 V 8 H 2 Z\" }\n"
                      "  InkPath { line: \"#0000ff\"; width: 2; path: \"M 0 0 V 10\" } }",
                      QUrl());
    auto* drawing = qobject_cast<QQuickItem*>(component.create());
    REQUIRE(drawing != nullptr);
    drawing->setParentItem(view.contentItem());
    view.setColor(Qt::white);
    view.resize(120, 40);
    view.show();
    REQUIRE(QTest::qWaitForWindowExposed(&view));
    const auto at = [&](double x, double y) {
        const QImage image = view.grabWindow();
        return image.pixelColor((QPointF(x, y) * image.devicePixelRatio()).toPoint());
    };
    // 4 pixels a unit, the middle at 60, so the drawing lies between 20 and 100
    CHECK(at(60 + 5 * 4, 20) == QColor("#ff0000"));
    CHECK(at(60 - 5 * 4, 20) == QColor("#ff0000"));
    CHECK(at(60, 20) == QColor("#0000ff"));
    CHECK(at(60 + 9 * 4, 20) == QColor(Qt::white));
    CHECK(at(60 + 5 * 4, 4) == QColor(Qt::white));

    // What is changed is painted anew
    QMetaObject::invokeMethod(drawing, [drawing] { drawing->setProperty("canvas", QRectF(-10, -10, 20, 10)); });
    CHECK(at(60 + 5 * 4, 20) == QColor(Qt::white));
    delete drawing;
}

// Seen with large text on 27 November 2026: the arrow of "undo", scrolled off the Tag page, was drawn over the bar. Qt's
// Shapes, then in its place, took an empty clip for none.
TEST_CASE("What has scrolled off a page is not drawn over the page bar", "[app]") {
    application();
    const auto& all = app::scenes();
    const auto scene = std::find_if(all.begin(), all.end(), [](const auto& one) { return one.name == "tag-ready"; });
    CHECK(app::show(*scene, [](QQuickWindow* window, app::App& app) {
        // So high that the middle of the key, where its arrow is, lies behind the bar
        const auto undo = [&] {
            for (const Target& target : targetsIn(window))
                if (target.name == QLatin1String("undo"))
                    return target.area;
            return QRectF();
        };
        QQuickItem* page = nullptr;
        int height = 700;
        int floor = 0;
        do {
            height += 8;
            app::put({"", {360, height}, false, 200}, window, app);
            page = flickableIn(window->contentItem());
            REQUIRE(page != nullptr);
            floor = static_cast<int>(page->mapRectToScene({0, 0, page->width(), page->height()}).bottom());
        } while (undo().isNull() && height < 1000);
        const auto bar = [&] {
            app::settle(window);
            return window->grabWindow().copy(0, floor, 360, height - floor);
        };
        const QImage before = bar();
        // A frame in which the page moves and the bar stays: the bar itself isn't drawn again
        page->setProperty("contentY", 1);
        REQUIRE(undo().center().y() - 12 > floor);
        CHECK(before == bar());
    }));
}
