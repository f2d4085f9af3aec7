#include "core/place/map_view.h"

#include "catch_compat.hpp"

#include <algorithm>
#include <cmath>
#include <random>

using namespace discal::place;

namespace {

constexpr LatLon kRidge{43.5571, -90.8893};

double metresBetween(const LatLon& a, const LatLon& b) { return flightBetween(a, b).metres; }

} // namespace

TEST_CASE("The projection is World Mercator as others have it", "[place][map]") {
    // Bounds of EPSG:3395 for its area of use, 80 south to 84 north, as its registry gives them.
    const MapView view({0, 0}, 1, 100, 100);
    CHECK(view.wholeMapPointOf({0, 180}).x == Approx(20037508.34).margin(0.01));
    CHECK(-view.wholeMapPointOf({-80, 0}).y == Approx(-15496570.74).margin(0.01));
    CHECK(-view.wholeMapPointOf({84, 0}).y == Approx(18764656.23).margin(0.01));
}

TEST_CASE("Lengths on the map are those on the ellipsoid", "[place][map]") {
    // Against Karney's geodesics (GeographicLib), whichever way the length points.
    for (const double latitude : {0.0, 19.5, 43.5571, -33.0, 60.0, 75.0})
        for (const double metresPerPixel : {0.1, 1.0, 50.0}) {
            const LatLon middle{latitude, -90.8893};
            const MapView view(middle, metresPerPixel, 360, 500);
            CHECK(view.metresPerPixel() == Approx(metresPerPixel).epsilon(1e-9));
            for (const auto& [dx, dy] : {std::pair{50.0, 0.0}, {0.0, 50.0}, {-30.0, 40.0}, {0.0, -50.0}}) {
                INFO(latitude << ", " << metresPerPixel << " m a pixel, " << dx << " " << dy);
                const LatLon there = view.placeAt({180 + dx, 250 + dy});
                // 50 pixels off the middle of a county the scale has changed by a thousandth.
                CHECK(metresBetween(middle, there) == Approx(50 * metresPerPixel).epsilon(0.001));
            }
        }
}

TEST_CASE("A scale bar in the middle of the map is within a thousandth for a county, a hundredth for a state",
          "[place][map]") {
    for (const double latitude : {0.0, 43.5571, -55.0})
        for (const double metresPerPixel : {0.2, 3.0, 130.0, 1500.0}) {
            const MapView view({latitude, -90}, metresPerPixel, 360, 500);
            const ScaleBar bar = scaleBarOf(view.metresPerPixel(), 120);
            const double true_ = metresBetween(view.placeAt({180 - bar.pixels / 2, 250}),
                                               view.placeAt({180 + bar.pixels / 2, 250}));
            INFO(latitude << ", " << metresPerPixel);
            CHECK(bar.metres == Approx(true_).epsilon(metresPerPixel < 500 ? 0.001 : 0.01));
        }
}

TEST_CASE("A scale is 1, 2 or 5 and noughts, as long as there is room", "[place][map]") {
    CHECK(scaleBarOf(1, 120).metres == 100);
    CHECK(scaleBarOf(1, 120).pixels == 100);
    CHECK(scaleBarOf(1, 200).metres == 200);
    CHECK(scaleBarOf(1, 199).metres == 100);
    CHECK(scaleBarOf(130, 120).metres == 10'000);
    CHECK(scaleBarOf(0.1, 99).metres == 5);
    CHECK(scaleBarOf(0, 99).metres == 0);
    CHECK(scaleBarOf(std::nan(""), 99).metres == 0);
    for (double metresPerPixel = 0.1; metresPerPixel < 20'000; metresPerPixel *= 1.07) {
        const ScaleBar bar = scaleBarOf(metresPerPixel, 120);
        CHECK(bar.pixels <= 120 + 1e-9);
        CHECK(bar.pixels > 120 / 2.51);
    }
}

TEST_CASE("What lies under a finger stays there when the map is moved or zoomed", "[place][map]") {
    MapView view(kRidge, 25, 360, 500);
    for (const MapPoint finger : {MapPoint{10, 20}, {180, 250}, {355, 490}}) {
        const LatLon there = view.placeAt(finger);
        const MapView finer = view.zoomed(3.7, finger);
        CHECK(finer.pointOf(there).x == Approx(finger.x).margin(0.01));
        CHECK(finer.pointOf(there).y == Approx(finger.y).margin(0.01));
        CHECK(finer.unitsPerPixel() == Approx(view.unitsPerPixel() / 3.7));
        const MapView moved = view.moved(40, -25);
        CHECK(moved.pointOf(there).x == Approx(finger.x + 40).margin(0.01));
        CHECK(moved.pointOf(there).y == Approx(finger.y - 25).margin(0.01));
        const LatLon back = view.placeAt(view.pointOf(there));
        CHECK(metresBetween(there, back) < 0.001);
    }
}

TEST_CASE("A map ends where it would grow without end, and goes on over the date line", "[place][map]") {
    const MapView fiji({-17.5, 179.9}, 200, 360, 500);
    CHECK(fiji.pointOf({-17.5, -179.9}).x == Approx(180 + 0.2 * 106'070 / 200).epsilon(0.01));
    const MapBox box = fiji.box();
    CHECK(box.east > 180);
    CHECK(box.west < 180);
    const MapView pole = fiji.moved(0, 1e9);
    CHECK(pole.middle().lat == Approx(85).margin(1e-6));
    CHECK(fiji.zoomed(1e9, {0, 0}).metresPerPixel() == Approx(MapView::kFinest).epsilon(0.1));
    CHECK(fiji.zoomed(1e-9, {180, 250}).metresPerPixel() == Approx(MapView::kCoarsest).epsilon(0.01));
}

TEST_CASE("A view around places holds them all with room to spare", "[place][map]") {
    const std::vector<LatLon> places{{43.5571, -90.8893}, {43.5600, -90.8850}, {43.5550, -90.8900}};
    const MapView view = MapView::around(places, 30, 0.5, 360, 500);
    double most = 500;
    for (const LatLon& place : places) {
        const MapPoint p = view.pointOf(place);
        CHECK(p.x >= 30 - 1e-6);
        CHECK(p.x <= 330 + 1e-6);
        CHECK(p.y >= 30 - 1e-6);
        CHECK(p.y <= 470 + 1e-6);
        most = std::min({most, p.x, 360 - p.x, p.y, 500 - p.y});
    }
    // No smaller than needed
    CHECK(most == Approx(30).margin(0.1));
    const std::vector<LatLon> one{kRidge};
    CHECK(MapView::around(one, 30, 0.5, 360, 500).metresPerPixel() == Approx(0.5));
    CHECK(metresBetween(MapView::around(one, 30, 0.5, 360, 500).middle(), kRidge) < 0.001);
    const std::vector<LatLon> over{{-17, 179}, {-17, -179}};
    CHECK(std::abs(MapView::around(over, 30, 0.5, 360, 500).middle().lon) == Approx(180).margin(1e-6));
}

TEST_CASE("Points that are close become counts: none is lost, none overlap, in whatever order they come",
          "[place][map]") {
    std::mt19937 random(905);
    for (int round = 0; round < 60; ++round) {
        std::vector<MapPoint> points;
        const double spread = std::pow(10.0, round % 4);
        for (int i = 0; i < 5 + round * 7; ++i)
            points.push_back({static_cast<double>(random() % 10'000) / 10'000 * spread,
                              static_cast<double>(random() % 10'000) / 10'000 * spread});
        points.push_back(points.front());
        const auto gathered = gatherClose(points, 28);
        std::vector<bool> isIn(points.size(), false);
        for (std::size_t i = 0; i < gathered.size(); ++i) {
            for (const std::size_t member : gathered[i].members) {
                CHECK_FALSE(isIn[member]);
                isIn[member] = true;
            }
            for (std::size_t j = i + 1; j < gathered.size(); ++j)
                CHECK(std::hypot(gathered[i].middle.x - gathered[j].middle.x,
                                 gathered[i].middle.y - gathered[j].middle.y) >= 28);
        }
        CHECK(std::count(isIn.begin(), isIn.end(), true) == static_cast<int>(points.size()));
        auto turned = points;
        std::shuffle(turned.begin(), turned.end(), random);
        const auto again = gatherClose(turned, 28);
        REQUIRE(again.size() == gathered.size());
        for (std::size_t i = 0; i < again.size(); ++i) {
            CHECK(again[i].members.size() == gathered[i].members.size());
            CHECK(again[i].middle.x == Approx(gathered[i].middle.x).margin(1e-6));
        }
    }
    CHECK(gatherClose({}, 28).empty());
    const std::vector<MapPoint> apart{{0, 0}, {28, 0}};
    CHECK(gatherClose(apart, 28).size() == 2);
    const std::vector<MapPoint> close{{0, 0}, {27.9, 0}};
    REQUIRE(gatherClose(close, 28).size() == 1);
    CHECK(gatherClose(close, 28).front().middle.x == Approx(13.95));
}
