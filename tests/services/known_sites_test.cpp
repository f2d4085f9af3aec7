#include "services/known_sites.h"

#include "catch_compat.hpp"
#include "desk.h"

using namespace discal;
using namespace discal::tests;

namespace {

place::Position at(std::int32_t latE7, std::int32_t lonE7, std::int64_t withinMm) {
    place::Position position;
    position.latE7 = latE7;
    position.lonE7 = lonE7;
    position.uncertaintyMm = withinMm;
    position.origin = place::Position::Origin::Site;
    return position;
}

} // namespace

TEST_CASE("Sites are told the nearest first, and whether we stand at them", "[services]") {
    Desk desk;
    // A degree of latitude is 111.13 km at 45 degrees north (WGS84; from memory).
    need(desk.station().site({"Shed", at(435'567'000, -908'893'000, 10'000), 20'000}));
    need(desk.station().site({"Meadow", at(435'571'000, -908'893'000, 15'000), 0}));
    need(desk.station().site({"Somewhere", {}, 0}));
    const auto sites = need(services::sitesFrom(desk.journal(), at(435'571'500, -908'893'000, 6'000)));
    REQUIRE(sites.size() == 2);
    CHECK(sites[0].name == "Meadow");
    CHECK(std::abs(sites[0].metres - 5.555) < 0.01);
    CHECK(sites[0].isHere); // nobody said how far it reaches
    CHECK(sites[1].name == "Shed");
    CHECK(std::abs(sites[1].metres - 49.999) < 0.05);
    CHECK_FALSE(sites[1].isHere); // 50 m against 20 + 10 + 6
    const auto nearer = need(services::sitesFrom(desk.journal(), at(435'570'000, -908'893'000, 6'000)));
    CHECK(nearer[1].isHere); // 33 m
}
