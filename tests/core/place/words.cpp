#include "core/place/words.h"

#include "catch_compat.hpp"
#include "places.h"

using namespace discal::place;
using discal::tests::placeAt;

TEST_CASE("Distances are written as people write them", "[place]") {
    CHECK(distanceWords(0) == "0 m");
    CHECK(distanceWords(80.4) == "80 m");
    CHECK(distanceWords(99.4) == "99 m");
    CHECK(distanceWords(99.6) == "0.1 km");
    CHECK(distanceWords(1'240) == "1.2 km");
    CHECK(distanceWords(2'000) == "2 km");
    CHECK(distanceWords(9'949) == "9.9 km");
    CHECK(distanceWords(9'951) == "10 km");
    CHECK(distanceWords(12'480) == "12 km");
    CHECK(distanceWords(4'330'162) == "4330 km");
}

TEST_CASE("A place is written as a person would write it", "[place]") {
    CHECK(localityOf(placeAt(43.5657, -90.8780)) == "1.3 km NE of Viroqua, Vernon County, Wisconsin");
    CHECK(remarksOf(placeAt(43.5657, -90.8780)).empty());
    CHECK(localityOf(placeAt(43.5569, -90.8887)) == "Viroqua, Vernon County, Wisconsin");
    CHECK(localityOf(placeAt(43.5657, -90.8780), "Ridge meadow") ==
          "Ridge meadow, 1.3 km NE of Viroqua, Vernon County, Wisconsin");
    CHECK(localityOf(Place{}, "Ridge meadow") == "Ridge meadow");
    CHECK(localityOf(Place{}).empty());
    CHECK(remarksOf(Place{}).empty());
}

TEST_CASE("Words of a place that isn't simple", "[place]") {
    Place place;
    place.country = {"Mexico", "MX"};
    place.region = {"Michoacán", "MX-MIC"};
    place.county = {"Ocampo", "16061"};
    place.countyBy = CountyBy::NearestTown;
    place.town = NearbyTown{"Angangueo", {"Michoacán", "MX-MIC"}, {"Mexico", "MX"}, 5'160, 180, "S", 2'580};
    CHECK(localityOf(place) == "5.2 km S of Angangueo, Ocampo, Michoacán, Mexico");
    CHECK(remarksOf(place) == "county is that of the nearest town");

    place = {};
    place.country = {"United States", "US"};
    place.region = {"Minnesota", "US-MN"};
    place.county = {"Houston County", "27055"};
    place.countyBy = CountyBy::Boundary;
    place.town =
        NearbyTown{"La Crosse", {"Wisconsin", "US-WI"}, {"United States", "US"}, 3'020, 265, "W", 204};
    place.neighbour =
        Neighbour{{"La Crosse County", "55063"}, {"Wisconsin", "US-WI"}, {"United States", "US"}, 420};
    CHECK(localityOf(place) == "3 km W of La Crosse (Wisconsin), Houston County, Minnesota");
    CHECK(remarksOf(place) == "within 0.4 km of the line to La Crosse County, Wisconsin");
    place.neighbour = Neighbour{{}, {"Ontario", "CA-ON"}, {"Canada", "CA"}, 60};
    CHECK(neighbourWords(place) == "Ontario, Canada");

    place.countyBy = CountyBy::NearestShore;
    place.isOffshore = true;
    place.neighbour.reset();
    CHECK(localityOf(place) == "3 km W of La Crosse (Wisconsin), off Houston County, Minnesota");
    CHECK(remarksOf(place) == "offshore, county is the nearest");
}

TEST_CASE("A district and its state that have one name are written once", "[place]") {
    CHECK(localityOf(placeAt(38.8951, -77.0364)) == "Washington, District of Columbia");
}
