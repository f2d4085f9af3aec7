#include "core/place/map_land.h"

#include "catch_compat.hpp"
#include "places.h"

#include <cmath>

using namespace discal::place;
using discal::tests::gazetteer;

namespace {

bool isIn(const std::vector<Ring>& rings, const LatLon& at) {
    bool isInside = false;
    for (const Ring& ring : rings)
        for (std::size_t i = 0, j = ring.size() - 1; i < ring.size(); j = i++) {
            const LatLon& a = ring[i];
            const LatLon& b = ring[j];
            if ((a.lat > at.lat) != (b.lat > at.lat) &&
                at.lon < (b.lon - a.lon) * (at.lat - a.lat) / (b.lat - a.lat) + a.lon)
                isInside = !isInside;
        }
    return isInside;
}

bool isLand(const Land& land, const LatLon& at) { return isIn(land.counties, at) || isIn(land.rest, at); }

} // namespace

TEST_CASE("The middle of every ZIP area of a window lies on its land", "[place][map]") {
    // Internal points of the Census Bureau's areas (tests/data/places/README.md): a source of its own.
    int asked = 0;
    int wet = 0;
    for (const auto& row : discal::tests::placesOf("zip_areas.csv")) {
        const LatLon at = discal::tests::whereOf(row);
        const double half = asked % 2 == 0 ? 0.2 : 3;
        const Land land = landIn(gazetteer(), {at.lon - half, at.lat - half / 2, at.lon + half * 0.7, at.lat + half}, 0);
        ++asked;
        if (!isLand(land, at))
            ++wet;
    }
    CHECK(asked > 100);
    // Islands and spits that the coarse shores leave out
    CHECK(wet <= asked / 100);
}

TEST_CASE("Airports of the world are on land, buoys are not", "[place][map]") {
    int asked = 0;
    int wet = 0;
    for (const auto& row : discal::tests::placesOf("airports.csv")) {
        const LatLon at = discal::tests::whereOf(row);
        const Land land = landIn(gazetteer(), {at.lon - 1, at.lat - 1, at.lon + 1, at.lat + 1}, 0);
        ++asked;
        if (!isLand(land, at))
            ++wet;
    }
    CHECK(asked > 100);
    // Small islands, and airports built into the sea
    CHECK(wet <= asked / 20);
    // Stations 45002 (northern Lake Michigan), 45007 (southern), 41002 (off Carolina), 46042 (off Monterey) and 44011
    // (Georges Bank) of the National Data Buoy Center, positions from memory to a tenth of a degree.
    for (const LatLon& buoy : {LatLon{45.3, -86.4}, {42.7, -87.0}, {31.8, -74.9}, {36.8, -122.4}, {41.1, -66.6}}) {
        INFO(buoy.lat << " " << buoy.lon);
        CHECK_FALSE(isLand(landIn(gazetteer(), {buoy.lon - 4, buoy.lat - 3, buoy.lon + 4, buoy.lat + 3}, 0), buoy));
    }
}

TEST_CASE("Land is the same through whichever window one looks", "[place][map]") {
    // About Chesapeake Bay, an intricate shore
    const Land wide = landIn(gazetteer(), {-79, 36, -74, 40}, 0);
    int asked = 0;
    int differ = 0;
    for (double lat = 36.8; lat < 39.4; lat += 0.21)
        for (double lon = -76.9; lon < -75.3; lon += 0.17) {
            const Land narrow = landIn(gazetteer(), {lon - 0.31, lat - 0.27, lon + 0.23, lat + 0.37}, 0);
            ++asked;
            differ += isLand(narrow, {lat, lon}) != isLand(wide, {lat, lon});
        }
    CHECK(asked > 100);
    CHECK(differ == 0);
}

TEST_CASE("A window wholly inland or at sea, and one with no room", "[place][map]") {
    const Land kansas = landIn(gazetteer(), {-98.6, 38.4, -98.4, 38.6}, 0);
    CHECK(isLand(kansas, {38.5, -98.5}));
    const Land sea = landIn(gazetteer(), {-45, 35, -40, 38}, 0);
    CHECK(sea.counties.empty());
    CHECK(sea.rest.empty());
    CHECK(landIn(gazetteer(), {10, 10, 10, 10}, 0).rest.empty());
    // Over the date line from either side: Taveuni of Fiji, beside it
    for (const double turn : {0.0, 360.0})
        CHECK(isLand(landIn(gazetteer(), {179.5 - turn, -17.3, 180.5 - turn, -16.4}, 0), {-16.85, 180.03 - turn}));
}
