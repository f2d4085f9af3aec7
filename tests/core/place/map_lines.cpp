#include "core/place/map_lines.h"

#include "catch_compat.hpp"
#include "places.h"

#include <algorithm>
#include <map>
#include <set>

using namespace discal::place;
using discal::tests::gazetteer;

namespace {

std::map<LineKind, int> linesIn(const MapBox& box) {
    std::map<LineKind, int> kinds;
    forEachLine(gazetteer(), box, [&](LineKind kind, std::span<const LatLon> points) {
        ++kinds[kind];
        CHECK(points.size() >= 2);
        CHECK(points.size() <= 64);
        const auto isNear = [&](const LatLon& p) { return p.lon > box.west - 8 && p.lon < box.east + 8; };
        CHECK(std::all_of(points.begin(), points.end(), isNear));
    });
    return kinds;
}

std::set<std::string> townsIn(const MapBox& box, double people) {
    std::set<std::string> names;
    forEachTown(gazetteer(), box, people, [&](const TownRecord& town, const LatLon& at) {
        CHECK(at.lon >= box.west);
        CHECK(at.lon <= box.east);
        names.insert(gazetteer().townName(town));
    });
    return names;
}

} // namespace

TEST_CASE("Lines of a map: counties, states, countries and shores where they are", "[place]") {
    // Inside of Kansas counties only; about La Crosse also the state line in the Mississippi.
    auto kansas = linesIn({-98.9, 38.1, -98.1, 38.9});
    CHECK(kansas[LineKind::County] > 0);
    CHECK(kansas[LineKind::Region] == 0);
    CHECK(kansas[LineKind::Shore] == 0);
    auto river = linesIn({-91.5, 43.6, -91.0, 44.0});
    CHECK(river[LineKind::County] > 0);
    CHECK(river[LineKind::Region] > 0);
    CHECK(river[LineKind::Country] == 0);
    // The 49th parallel; a shore of Lake Michigan; open sea.
    CHECK(linesIn({-100.5, 48.9, -99.5, 49.1})[LineKind::Country] > 0);
    CHECK(linesIn({-88.0, 42.9, -87.7, 43.2})[LineKind::Shore] > 0);
    CHECK(linesIn({-45, 35, -40, 38}).empty());
    // Mexico has states, no municipalities.
    auto mexico = linesIn({-100.6, 19.3, -99.9, 19.9});
    CHECK(mexico[LineKind::Region] > 0);
    CHECK(mexico[LineKind::County] == 0);
}

TEST_CASE("Lines and towns across the date line, from either side", "[place]") {
    CHECK_FALSE(linesIn({179, -17.5, 181, -16}).empty());
    CHECK_FALSE(linesIn({-181, -17.5, -179, -16}).empty());
}

TEST_CASE("Towns of a map by their size", "[place]") {
    const MapBox box{-91.5, 43.4, -90.5, 44.0};
    const auto all = townsIn(box, 0);
    const auto large = townsIn(box, 20'000);
    CHECK(all.count("Viroqua") == 1);
    CHECK(all.count("La Crosse") == 1);
// 52,680 and 4,504 people in the census of 2020 (from memory).
    CHECK(large.count("La Crosse") == 1);
    CHECK(large.count("Viroqua") == 0);
    CHECK(townsIn({-45, 35, -40, 38}, 0).empty());
}
