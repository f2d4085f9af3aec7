#include "phone.h"
#include "services/system/own_gazetteer.h"
#include "viewmodels/map_page_model.h"

#include "catch_compat.hpp"

#include <QSignalSpy>

using namespace discal;
using namespace discal::tests;
using viewmodels::MapPageModel;

namespace {

/// The phone with place names, and a day of butterflies where a test says.
struct MapPhone {
    services::OpenGazetteer places{need(services::openGazetteer(need(services::ownGazetteer())))};
    TestPhone phone;
    MapPageModel map{phone.phone()};

    MapPhone() {
        phone.phone().session.placeWords().setNames(&places.names);
        map.resize(360, 500);
    }
    void letGoAt(double lat, double lon, int uncertaintyMetres = 5) {
        place::Position position;
        position.latE7 = static_cast<int>(std::lround(lat * 1e7));
        position.lonE7 = static_cast<int>(std::lround(lon * 1e7));
        position.uncertaintyMm = uncertaintyMetres * 1000;
        position.origin = place::Position::Origin::Typed;
        (void)phone.note();
        phone.phone().session.setTypedPosition(position);
        need(phone.phone().tagging.release(std::nullopt));
        phone.wait(std::chrono::minutes(1));
        phone.tell();
    }
    /// Butterflies on the map, by all its marks.
    [[nodiscard]] int counted() const {
        int all = 0;
        for (const auto& mark : map.marks())
            all += mark.count;
        return all;
    }
    [[nodiscard]] bool isInView(const place::LatLon& at) const {
        const auto p = map.view().pointOf(at);
        return p.x > 0 && p.y > 0 && p.x < 360 && p.y < 500;
    }
};

} // namespace

TEST_CASE("The map opens on the whole day, and gathers what lies close", "[viewmodels][map]") {
    MapPhone at;
    at.letGoAt(43.5571, -90.8893);
    at.letGoAt(43.5571, -90.8892);
    at.letGoAt(43.5600, -90.8850);
    at.map.begin();
    CHECK(at.map.hasDay());
    CHECK(at.counted() == 3);
    // 8 m and 450 m apart, on a map of some 500 m across 360 dp
    REQUIRE(at.map.marks().size() == 2);
    for (const auto& mark : at.map.marks()) {
        CHECK(at.isInView(mark.at));
        // A circle holds all its members with their own circles.
        CHECK(mark.radiusMetres >= 5);
        CHECK(mark.radiusMetres < 12);
    }
    CHECK(at.map.count() == "3 butterfl(ies)");
    // Far enough out they are one, near enough each stands alone.
    for (int i = 0; i < 6; ++i)
        at.map.zoomOut();
    REQUIRE(at.map.marks().size() == 1);
    CHECK(at.map.marks().front().count == 3);
    at.map.showDay();
    CHECK(at.map.marks().size() == 2);
    for (int i = 0; i < 5; ++i)
        at.map.zoomIn();
    CHECK(at.map.marks().size() == 3);
    CHECK(at.counted() == 3);
}

TEST_CASE("Where the receiver said nothing the site answers on the map, with all its reach", "[viewmodels][map]") {
    MapPhone at;
    (void)at.phone.note();
    need(at.phone.phone().tagging.release(std::nullopt));
    at.phone.phone().carryOver([](auto& persisting) { persisting.site.clear(); });
    (void)at.phone.note();
    need(at.phone.phone().tagging.release(std::nullopt));
    at.map.begin();
    REQUIRE(at.map.marks().size() == 1);
    // The site's radius of 150 m, its middle known within 15 m
    CHECK(at.map.marks().front().radiusMetres == Approx(165).margin(0.01));
    CHECK(at.map.count().contains("without a position"));
}

TEST_CASE("A map says in words what it shows", "[viewmodels][map]") {
    MapPhone at;
    at.letGoAt(43.5571, -90.8893);
    at.letGoAt(43.5580, -90.8893);
    at.map.begin();
    const QString words = at.map.words();
    INFO(words.toStdString());
    CHECK(words.contains(" across."));
    CHECK(words.contains("Ridge, meadow"));
    // 100 m apart on the meridian, so 50 m from their middle, and 5 m of their own
    CHECK(words.contains(QStringLiteral("within 55\u00a0m")));
    at.phone.hearFix(3000);
    at.map.lookAgain();
    CHECK(at.map.words().contains(QStringLiteral("known within 6\u00a0m")));
}

TEST_CASE("Keys and fingers move the map alike, and it stays within its bounds", "[viewmodels][map]") {
    MapPhone at;
    at.letGoAt(43.5571, -90.8893);
    at.map.begin();
    const double scale = at.map.view().metresPerPixel();
    at.map.zoomIn();
    CHECK(at.map.view().metresPerPixel() == Approx(scale / 2));
    at.map.zoomOut();
    CHECK(at.map.view().metresPerPixel() == Approx(scale));
    // Two fingers: what lay under their middle goes along with it.
    const auto under = at.map.view().placeAt({100, 200});
    at.map.hold({100, 200});
    CHECK(at.map.isHeld());
    at.map.pull({130, 180}, 1.5);
    at.map.pull({150, 160}, 3);
    CHECK(at.map.view().pointOf(under).x == Approx(150).margin(0.01));
    CHECK(at.map.view().pointOf(under).y == Approx(160).margin(0.01));
    CHECK(at.map.view().metresPerPixel() == Approx(scale / 3).epsilon(0.001));
    at.map.pull({150, 160}, std::nan(""));
    at.map.pull({150, 160}, 0);
    CHECK(at.map.view().metresPerPixel() == Approx(scale / 3).epsilon(0.001));
    at.map.letGo();
    CHECK_FALSE(at.map.isHeld());
    at.map.pull({0, 0}, 3);
    CHECK(at.map.view().metresPerPixel() == Approx(scale / 3).epsilon(0.001));
    for (int i = 0; i < 40; ++i)
        at.map.zoomOut();
    CHECK_FALSE(at.map.canZoomOut());
    CHECK(at.map.canZoomIn());
    for (int i = 0; i < 60; ++i)
        at.map.zoomIn();
    CHECK_FALSE(at.map.canZoomIn());
    CHECK(at.map.canZoomOut());
}

TEST_CASE("A tap brings a place into the middle, and comes nearer to a count", "[viewmodels][map]") {
    MapPhone at;
    at.letGoAt(43.5571, -90.8893);
    at.letGoAt(43.5571, -90.8892);
    at.letGoAt(43.5600, -90.8850);
    at.map.begin();
    const double scale = at.map.view().metresPerPixel();
    const auto under = at.map.view().placeAt({300, 100});
    at.map.tap({300, 100});
    CHECK(at.map.view().pointOf(under).x == Approx(180).margin(0.01));
    at.map.showDay();
    for (const auto& mark : at.map.marks())
        if (mark.count == 2) {
            const auto p = at.map.view().pointOf(mark.at);
            at.map.tap({p.x + 4, p.y});
            break;
        }
    CHECK(at.map.view().metresPerPixel() < scale / 3);
}

TEST_CASE("Without a day or a position the map shows the sites, and else the land", "[viewmodels][map]") {
    BarePhone bare;
    MapPageModel map(bare.phone());
    map.resize(360, 500);
    map.begin();
    CHECK_FALSE(map.hasDay());
    CHECK_FALSE(map.hasHere());
    CHECK(map.view().metresPerPixel() > 1000);
    CHECK_FALSE(map.words().isEmpty());
    map.showHere();
    map.showDay();
    bare.hearFix(3000);
    map.begin();
    CHECK(map.hasHere());
    CHECK(map.view().metresPerPixel() < 10);
    TestPhone station;
    MapPageModel sites(station.phone());
    sites.resize(360, 500);
    sites.begin();
    CHECK(sites.view().metresPerPixel() < 10);
    CHECK(sites.view().middle().lat == Approx(43.5571).margin(1e-6));
}

TEST_CASE("What is pointed at is known by the map's scale and by what one goes by", "[viewmodels][map]") {
    // Chapman and Wieczorek 2020: what a millimetre of the map is on the ground, and what the map is off. 160 dp an inch:
    // a millimetre has 6.299 of them.
    MapPhone at;
    at.map.beginPlacing({});
    const double scale = at.map.view().metresPerPixel();
    CHECK(scale == Approx(5));
    // The site is in sight: its middle is known within 15 m.
    CHECK(at.map.middle().at(2).toDouble() / 1000 == Approx(5 * 6.2992 + 15).margin(0.01));
    CHECK(at.map.middleWithin().contains("47"));
    CHECK(at.map.middleWords().contains("Vernon County"));
    CHECK(at.map.middle().at(0).toInt() == Approx(435'571'000).margin(2));
    // Nothing but lines and towns: they are drawn within a kilometre.
    at.map.move(4000, 0);
    CHECK(at.map.middle().at(2).toDouble() / 1000 == Approx(5 * 6.2992 + 1000).margin(1));
    // It begins again where it was put.
    MapPageModel again(at.phone.phone());
    again.resize(360, 500);
    again.beginPlacing(at.map.middle());
    CHECK(again.middle().at(0).toInt() == Approx(at.map.middle().at(0).toInt()).margin(2));
    CHECK(again.middle().at(1).toInt() == Approx(at.map.middle().at(1).toInt()).margin(2));
}

TEST_CASE("A map that is closed reads nothing", "[viewmodels][map]") {
    MapPhone at;
    QSignalSpy changed(&at.map, &MapPageModel::refreshed);
    at.letGoAt(43.5571, -90.8893);
    CHECK(changed.isEmpty());
    at.map.begin();
    CHECK(changed.size() == 1);
    at.letGoAt(43.5575, -90.8893);
    CHECK(at.counted() == 2);
    at.map.end();
    const auto before = changed.size();
    at.letGoAt(43.5579, -90.8893);
    CHECK(changed.size() == before);
}
