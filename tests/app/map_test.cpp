#include "catch_compat.hpp"
#include "screen.h"

#include <QAccessible>
#include <QTest>
#include <algorithm>

// The map as somebody meets it: by keys, by fingers, by ear.

using namespace discal;
using namespace discal::tests;

namespace {

struct Walker {
    app::SamplePhone phone;
    std::unique_ptr<app::App> app;
    QQuickWindow* window{nullptr};

    Walker() {
        application();
        phone.spendMorning(3);
        app = std::make_unique<app::App>(phone.phone(), nullptr);
        REQUIRE(app->load());
        window = app->window();
        app::settle(window);
    }
    ~Walker() { CHECK(app->warnings().isEmpty()); }
    void open(const QString& page, const QString& with = {}) {
        window->setProperty("openedWith", with);
        window->setProperty("opened", page);
        app::settle(window);
    }
    void tapOn(const QString& name) {
        phone.wait(std::chrono::milliseconds(500));
        tap(window, targetNamed(window, name));
    }
    /// By the beginning of its name
    void tapOnFirst(const QString& start) {
        for (const Target& target : targetsIn(window))
            if (target.name.startsWith(start))
                return tapOn(target.name);
        FAIL("nothing begins with " << start.toStdString());
    }
    [[nodiscard]] QString opened() const { return window->property("opened").toString(); }
    [[nodiscard]] QQuickItem* ground() const { return findIn(window->contentItem()); }
    static QQuickItem* findIn(QQuickItem* item) {
        if (item->inherits("discal::map::MapItem") && item->isVisible())
            return item;
        for (QQuickItem* child : item->childItems())
            if (QQuickItem* found = findIn(child))
                return found;
        return nullptr;
    }
    [[nodiscard]] QPoint inWindow(double x, double y) const { return ground()->mapToScene({x, y}).toPoint(); }
    [[nodiscard]] double scale() const { return app->map.view().metresPerPixel(); }
};

} // namespace

TEST_CASE("The line that says where we are leads to the map, and its keys lie under the thumb", "[app][map]") {
    Walker walker;
    walker.tapOnFirst(QStringLiteral("map: "));
    CHECK(walker.opened() == "map");
    const double scale = walker.scale();
    for (const char* name : {"come nearer", "show more land", "show where we are", "show the whole day"}) {
        const Target target = targetNamed(walker.window, QString::fromLatin1(name));
        CHECK(target.area.center().y() > 0.3 * walker.window->height());
    }
    walker.tapOn("come nearer");
    CHECK(walker.scale() == Approx(scale / 2));
    walker.tapOn("show more land");
    walker.tapOn("show more land");
    CHECK(walker.scale() == Approx(scale * 2));
    walker.tapOn("show the whole day");
    CHECK(walker.scale() == Approx(scale));
    walker.tapOn("show where we are");
    const double here = targetNamed(walker.window, "come nearer").area.center().x();
    CHECK(here > walker.window->width() / 2.0);
    walker.app->settings.setProperty("leftHanded", true);
    app::settle(walker.window);
    (void)walker.window->grabWindow();
    CHECK(targetNamed(walker.window, "come nearer").area.center().x() < walker.window->width() / 2.0);
    walker.tapOn("back");
    CHECK(walker.opened().isEmpty());
}

TEST_CASE("Today leads to the map of the day, which says in words what it shows", "[app][map]") {
    Walker walker;
    walker.window->setProperty("page", 2);
    app::settle(walker.window);
    walker.tapOn("Map of the day");
    REQUIRE(walker.ground() != nullptr);
    QAccessibleInterface* accessible = QAccessible::queryAccessibleInterface(walker.ground());
    REQUIRE(accessible != nullptr);
    const QString name = accessible->text(QAccessible::Name);
    INFO(name.toStdString());
    CHECK(name.startsWith("Map, "));
    CHECK(name.contains("3 butterflies within"));
    CHECK(name.contains("Ridge meadow"));
    CHECK(name.contains("You are known within"));
}

TEST_CASE("Fingers move the map: one pulls it, two bring it nearer, a tap brings a place into the middle", "[app][map]") {
    Walker walker;
    walker.open(QStringLiteral("map"));
    const double scale = walker.scale();
    const auto under = walker.app->map.view().placeAt({200, 200});
    QTest::mousePress(walker.window, Qt::LeftButton, Qt::NoModifier, walker.inWindow(200, 200));
    for (int i = 1; i <= 12; ++i)
        QTest::mouseMove(walker.window, walker.inWindow(200 - 5 * i, 200 + 4 * i));
    QTest::mouseRelease(walker.window, Qt::LeftButton, Qt::NoModifier, walker.inWindow(140, 248));
    // What the handler takes for a tap at first is not pulled.
    CHECK(walker.app->map.view().pointOf(under).x == Approx(140).margin(16));
    CHECK(walker.app->map.view().pointOf(under).y == Approx(248).margin(16));
    CHECK(walker.scale() == Approx(scale));
    CHECK_FALSE(walker.app->map.isHeld());

    static QPointingDevice* screen = QTest::createTouchDevice();
    const auto two = [&](double half) {
        return std::pair(walker.inWindow(180 - half, 200), walker.inWindow(180 + half, 200));
    };
    QTest::touchEvent(walker.window, screen).press(0, two(30).first, walker.window).press(1, two(30).second, walker.window);
    for (int i = 1; i <= 10; ++i)
        QTest::touchEvent(walker.window, screen).move(0, two(30 + 9 * i).first, walker.window).move(1, two(30 + 9 * i).second, walker.window);
    QTest::touchEvent(walker.window, screen).release(0, two(120).first, walker.window).release(1, two(120).second, walker.window);
    app::settle(walker.window);
    // Four times as far apart, less what it takes to tell a pinch from two taps
    CHECK(walker.scale() < scale / 1.6);
    CHECK(walker.scale() > scale / 4.1);
    CHECK_FALSE(walker.app->map.isHeld());

    const auto there = walker.app->map.view().placeAt({300, 120});
    QTest::mouseClick(walker.window, Qt::LeftButton, Qt::NoModifier, walker.inWindow(300, 120));
    app::settle(walker.window);
    CHECK(walker.app->map.view().pointOf(there).x == Approx(walker.app->map.view().width() / 2).margin(1));
}

TEST_CASE("Land and water are where they are", "[app][map]") {
    Walker walker;
    walker.open(QStringLiteral("map"));
    QObject* theme = walker.app->singleton("Theme");
    REQUIRE(theme != nullptr);
    struct Spot {
        const char* name;
        place::LatLon at;
        bool isLand;
    };
    // Station 45007 of the National Data Buoy Center in southern Lake Michigan (from memory, to a tenth of a degree);
    // Milwaukee and Chicago to its west, Grand Rapids to its east
    for (const Spot& spot : {Spot{"buoy 45007", {42.7, -87.0}, false}, {"Milwaukee", {43.04, -88.05}, true},
                             {"Chicago", {41.85, -87.85}, true}, {"Grand Rapids", {42.93, -85.75}, true},
                             {"north of Georges Bank", {42.3, -67.5}, false}}) {
        // Three scales: of a state and of the continent
        for (const double scale : {300.0, 1'500.0, 9'000.0}) {
            INFO(spot.name << " " << scale);
            walker.app->map.showDay();
            const place::MapView away(spot.at, scale, 360, 500);
            const auto p = walker.app->map.view().pointOf(away.middle());
            walker.app->map.move(walker.app->map.view().width() / 2 - p.x, walker.app->map.view().height() / 2 - p.y);
            walker.app->map.zoomAbout(walker.scale() / scale, {walker.app->map.view().width() / 2, walker.app->map.view().height() / 2});
            app::settle(walker.window);
            const QImage picture = walker.window->grabWindow();
            // Beside the very middle, where a name or a line might run: most of a small square
            const QRgb land = theme->property("land").value<QColor>().rgb();
            const QRgb water = theme->property("water").value<QColor>().rgb();
            const double density = picture.width() / static_cast<double>(walker.window->width());
            const QPointF middle = walker.ground()->mapToScene({walker.ground()->width() / 2, walker.ground()->height() / 2}) * density;
            int lands = 0;
            int waters = 0;
            for (int dy = -5; dy <= 5; ++dy)
                for (int dx = -5; dx <= 5; ++dx) {
                    const QRgb pixel = picture.pixel(static_cast<int>(middle.x()) + dx, static_cast<int>(middle.y()) + dy) | 0xFF000000U;
                    lands += pixel == land;
                    waters += pixel == water;
                }
            CHECK((spot.isLand ? lands : waters) > (spot.isLand ? waters : lands));
        }
    }
}

TEST_CASE("While a finger pulls, the ground that comes into the window is drawn", "[app][map]") {
    Walker walker;
    walker.open(QStringLiteral("map"));
    walker.app->map.zoomAbout(walker.scale() / 1'000, {walker.app->map.view().width() / 2, walker.app->map.view().height() / 2});
    app::settle(walker.window);
    (void)walker.window->grabWindow();
    // To station 45007 in Lake Michigan, some 330 dp to the east, and more than the room around the window
    const auto buoy = walker.app->map.view().pointOf({42.7, -87.0});
    const QPointF start(walker.app->map.view().width() / 2, walker.app->map.view().height() / 2);
    const QPointF way = start - QPointF(buoy.x, buoy.y);
    REQUIRE(-way.x() > walker.app->map.view().width() * 0.6);
    walker.app->map.hold(start);
    const QRgb water = walker.app->singleton("Theme")->property("water").value<QColor>().rgb();
    bool isWater = false;
    for (int i = 1; i <= 200 && !isWater; ++i) {
        walker.app->map.pull(start + way * std::min(1.0, i / 40.0), 1);
        const QImage picture = walker.window->grabWindow();
        QTest::qWait(5);
        const double density = picture.width() / static_cast<double>(walker.window->width());
        const QPointF middle = walker.ground()->mapToScene(start) * density;
        isWater = i >= 40 && (picture.pixel(middle.toPoint()) | 0xFF000000U) == water;
    }
    CHECK(isWater);
    CHECK(walker.app->map.isHeld());
    walker.app->map.letGo();
    app::settle(walker.window);
}

TEST_CASE("A site is placed by hand on the map, with what pointing is worth", "[app][map]") {
    Walker walker;
    walker.window->setProperty("page", 3);
    walker.open(QStringLiteral("newsite"));
    walker.app->sites.setProperty("name", "Oak savanna");
    walker.tapOn("Where is it? on the map");
    CHECK(walker.opened() == "placing");
    walker.app->map.move(-60, 40);
    const auto where = walker.app->map.middle();
    walker.tapOn("Here it is");
    CHECK(walker.opened() == "newsite");
    CHECK(walker.app->sites.property("name").toString() == "Oak savanna");
    walker.tapOn("Does the landowner let you? yes");
    walker.tapOn("Add it");
    const auto sites = walker.phone.phone().projections().records(journal::RecordType::Site);
    REQUIRE(sites);
    const auto site = std::find_if(sites->begin(), sites->end(), [&](const auto& one) {
        return journal::textIn(one.members, "name") == "Oak savanna";
    });
    REQUIRE(site != sites->end());
    const auto* position = journal::objectIn(site->members, "position");
    REQUIRE(position);
    CHECK(journal::numberIn(*position, "lat_e7") == where[0].toInt());
    CHECK(journal::numberIn(*position, "uncertainty_mm") == where[2].toLongLong());
    CHECK(where[2].toLongLong() > 5 * 6'299);
}

TEST_CASE("Without a receiver a town is found by its letters, and answers", "[app][map]") {
    Walker walker;
    walker.tapOnFirst(QStringLiteral("site: "));
    walker.tapOn("a town");
    CHECK(walker.opened() == "town");
    walker.tapOn("Its first letters");
    for (const char key : std::string("la cro"))
        QTest::keyClick(walker.window, key);
    app::settle(walker.window);
    walker.tapOnFirst(QStringLiteral("La Crosse"));
    CHECK(walker.opened().isEmpty());
    CHECK(walker.app->sites.currentName() == "La Crosse");
}
