#include "core/place/place_pack.h"

#include "catch_compat.hpp"
#include "core/place/words.h"
#include "places.h"

using namespace discal;
using namespace discal::place;
using discal::tests::gazetteer;

namespace {

/// Two squares side by side about the winter sites, with a hole in the western one.
constexpr const char* kTwo = R"({"type":"FeatureCollection","features":[
 {"type":"Feature","properties":{"NOMGEO":"Ocampo","CVEGEO":"16061"},"geometry":{"type":"Polygon","coordinates":[
   [[-100.40,19.50],[-100.25,19.50],[-100.25,19.70],[-100.40,19.70],[-100.40,19.50]],
   [[-100.35,19.60],[-100.34,19.60],[-100.34,19.61],[-100.35,19.61],[-100.35,19.60]]]}},
 {"type":"Feature","properties":{"name":"Donato Guerra","code":"15032"},"geometry":{"type":"MultiPolygon","coordinates":[
   [[[-100.25,19.50],[-100.10,19.50],[-100.10,19.70],[-100.25,19.70],[-100.25,19.50]]]]}},
 {"type":"Feature","properties":{"name":"a road"},"geometry":{"type":"LineString","coordinates":[[0,0],[1,1]]}},
 {"type":"Feature","properties":{"name":"nowhere"},"geometry":null}]})";

PlacePack two() {
    auto pack = PlacePack::fromGeoJson(kTwo);
    REQUIRE(pack.has_value());
    return std::move(*pack);
}

} // namespace

TEST_CASE("A place pack answers for what lies inside its boundaries", "[place]") {
    const PlacePack pack = two();
    CHECK(pack.size() == 2);
    const auto hit = pack.at({19.55, -100.30}, 1'000);
    REQUIRE(hit.has_value());
    CHECK(hit->county == AreaName{"Ocampo", "16061"});
    CHECK_FALSE(hit->neighbour.has_value());
    CHECK(pack.at({19.55, -100.20}, 1'000)->county == AreaName{"Donato Guerra", "15032"});
    CHECK_FALSE(pack.at({19.605, -100.345}, 1'000).has_value()); // in the hole
    CHECK_FALSE(pack.at({20.0, -100.3}, 1'000).has_value());
    // 0.005 degree of longitude from the line; by GeographicLib.
    const double metres = flightBetween({19.55, -100.255}, {19.55, -100.25}).metres;
    const auto near = pack.at({19.55, -100.255}, 1'000);
    REQUIRE(near.has_value());
    REQUIRE(near->neighbour.has_value());
    CHECK(near->neighbour->name == "Donato Guerra");
    CHECK(near->metres == Approx(metres).epsilon(0.005));
}

TEST_CASE("With a pack the county is certain where the gazetteer only knows the nearest town", "[place]") {
    const PlacePack pack = two();
    const LatLon site{19.5949, -100.2750};
    CHECK(gazetteer().locate(site, 0).countyBy == CountyBy::NearestTown);
    const Place place = gazetteer().locate(site, 0, &pack);
    CHECK(place.countyBy == CountyBy::Pack);
    CHECK(place.county == AreaName{"Ocampo", "16061"});
    CHECK(place.isCountyCertain());
    CHECK(place.region.code == "MX-MIC");
    CHECK(remarksOf(place).empty());
    CHECK_FALSE(gazetteer().locate({19.5949, -100.2520}, 0, &pack).isCountyCertain());
}

TEST_CASE("What is no pack of boundaries is refused with what is missing", "[place]") {
    const auto code = [](const char* text) { return PlacePack::fromGeoJson(text).error(); };
    CHECK(code("").code == Code::NotJson);
    CHECK(code("[1,2]").code == Code::NotJson);
    CHECK(code("{\"type\":").code == Code::NotJson);
    CHECK(code("{}").code == Code::BadInput);
    CHECK(code(R"({"type":"FeatureCollection","features":[]})").code == Code::BadInput);
    const Error nameless = code(
        R"({"features":[{"properties":{},"geometry":{"type":"Polygon","coordinates":[[[0,0],[1,0],[1,1],[0,0]]]}}]})");
    CHECK(nameless.code == Code::BadInput);
    CHECK(nameless.number == 1);
    CHECK(nameless.detail.find("NOMGEO") != std::string::npos);
    for (const char* geometry : {R"([[[0,0],[1,0],[1,1]]])", R"([[[0,0],[1,0],[1,"x"],[0,0]]])",
                                 R"([[[0,91],[1,0],[1,1],[0,91]]])", R"([[5]])", R"(["x"])"}) {
        const std::string text =
            std::string(
                R"({"features":[{"properties":{"name":"A"},"geometry":{"type":"Polygon","coordinates":)") +
            geometry + "}}]}";
        INFO(text);
        REQUIRE_FALSE(PlacePack::fromGeoJson(text).has_value());
        CHECK(PlacePack::fromGeoJson(text).error().code == Code::BadInput);
    }
}
