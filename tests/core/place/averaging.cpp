#include "core/place/averaging.h"

#include "catch_compat.hpp"

#include <cmath>
#include <cstdlib>
#include <limits>
#include <vector>

using namespace discal;
using namespace discal::place;

namespace {

constexpr std::int64_t kNow = 1'000'000;

Fix fixAt(std::int64_t secondsBefore, std::int32_t latE7, std::int32_t lonE7,
          std::int64_t accuracyMm = 5'000) {
    const std::int64_t upMs = kNow - secondsBefore * 1000;
    return {time::Instant(time::milliseconds(1'760'000'000'000 + upMs)), upMs, latE7, lonE7, accuracyMm};
}

// A fix so many metres north of 40 N, 90 W. One metre is 90 units of 10^-7 degree there, to 0.1 %.
Fix metresNorth(std::int64_t secondsBefore, double metres, std::int64_t accuracyMm = 5'000) {
    return fixAt(secondsBefore, 400'000'000 + static_cast<std::int32_t>(std::lround(metres * 90.06)),
                 -900'000'000, accuracyMm);
}

} // namespace

TEST_CASE("One fix is its own average, with twice its accuracy as uncertainty", "[place]") {
    const std::vector<Fix> fixes{fixAt(3, 401'234'567, -887'654'321, 4'900)};
    const auto p = average(fixes, kNow);
    REQUIRE(p);
    CHECK(p->latE7 == 401'234'567);
    CHECK(p->lonE7 == -887'654'321);
    CHECK(p->accuracyMm == 4'900);
    CHECK(p->uncertaintyMm == 9'800);
    CHECK(p->fixCount == 1);
    CHECK(p->ageMs == 3'000);
    CHECK(p->receiverUtc == fixes[0].utc);
    CHECK(p->origin == Position::Origin::Receiver);
    CHECK(isLegal(*p));
}

TEST_CASE("Without a usable fix there is no position", "[place]") {
    CHECK_FALSE(average({}, kNow));
    const std::vector<Fix> useless{
        fixAt(121, 1, 1),         // too old
        fixAt(-1, 1, 1),          // after the note
        fixAt(1, 1, 1, 0),        // no accuracy
        fixAt(1, 1, 1, -5),       //
        fixAt(1, 900'000'001, 1), // no place on Earth
        fixAt(1, 1, -1'800'000'001),
    };
    CHECK_FALSE(average(useless, kNow));
}

TEST_CASE("The window is two minutes long, both ends included", "[place]") {
    const std::vector<Fix> fixes{fixAt(121, 0, 0), fixAt(120, 0, 0), fixAt(60, 0, 0), fixAt(0, 0, 0),
                                 fixAt(-1, 0, 0)};
    const auto p = average(fixes, kNow);
    REQUIRE(p);
    CHECK(p->fixCount == 3);
    CHECK(p->ageMs == 0);
}

TEST_CASE("An old fix is dropped rather than carried forward", "[place]") {
    const std::vector<Fix> fixes{metresNorth(50, 0), metresNorth(49, 0)};
    CHECK(average(fixes, kNow)->ageMs == 49'000);
    CHECK(average(fixes, kNow + 71'000)->fixCount == 1);
    CHECK_FALSE(average(fixes, kNow + 71'001));
}

TEST_CASE("Weights are one over the accuracy squared", "[place]") {
    // By hand: 0 m at 2 m and 5 m at 4 m give (0/4 + 5/16) / (1/4 + 1/16) = 1 m north.
    const std::vector<Fix> fixes{metresNorth(2, 5, 4'000), metresNorth(1, 0, 2'000)};
    const auto p = average(fixes, kNow);
    REQUIRE(p);
    CHECK(p->fixCount == 2);
    CHECK(std::abs(p->latE7 - 400'000'090) <= 1);
    CHECK(p->lonE7 == -900'000'000);
    // Fully correlated: (1/2 + 1/4) / (1/4 + 1/16) = 2.4 m.
    CHECK(p->accuracyMm == 2'400);
    CHECK(p->uncertaintyMm == 4'800);
}

TEST_CASE("A hundred fixes from one receiver are not called better than one of them", "[place]") {
    std::vector<Fix> fixes;
    for (int i = 100; i > 0; --i)
        fixes.push_back(metresNorth(i, 0, 5'000));
    const auto p = average(fixes, kNow);
    REQUIRE(p);
    CHECK(p->fixCount == 100);
    CHECK(p->accuracyMm == 5'000);
    CHECK(p->uncertaintyMm == 10'000);
}

TEST_CASE("A phone that was carried averages only where it stands now", "[place]") {
    std::vector<Fix> fixes;
    for (int i = 60; i > 20; --i)
        fixes.push_back(metresNorth(i, -60)); // at the net
    for (int i = 20; i > 0; --i)
        fixes.push_back(metresNorth(i, 0)); // at the bench
    const auto p = average(fixes, kNow);
    REQUIRE(p);
    CHECK(p->fixCount == 20);
    CHECK(p->latE7 == 400'000'000);
}

TEST_CASE("Coming back to a place doesn't revive the fixes from before the walk", "[place]") {
    const std::vector<Fix> fixes{metresNorth(90, 0), metresNorth(60, 100), metresNorth(30, 0),
                                 metresNorth(29, 0)};
    CHECK(average(fixes, kNow)->fixCount == 2);
}

TEST_CASE("The average of a steady walk stays within its own uncertainty of where the walker is", "[place]") {
    for (const double speed : {0.1, 0.3, 0.5, 1.0, 1.4, 3.0}) {
        std::vector<Fix> fixes;
        for (int i = 119; i >= 0; --i)
            fixes.push_back(metresNorth(i, -speed * i));
        const auto p = average(fixes, kNow);
        REQUIRE(p);
        INFO("speed " << speed << " m/s, " << p->fixCount << " fixes, uncertainty " << p->uncertaintyMm
                      << " mm");
        CHECK(std::abs(p->latE7 - 400'000'000) / 90.06 <= static_cast<double>(p->uncertaintyMm) / 1000.0);
    }
}

TEST_CASE("Sharp fixes from before a move don't make a coarse newest one sharp", "[place]") {
    // 5 m fixes in the open, then 50 m on under trees where the receiver is only good to 60 m.
    std::vector<Fix> fixes;
    for (int i = 60; i > 10; --i)
        fixes.push_back(metresNorth(i, 0, 5'000));
    fixes.push_back(metresNorth(1, 50, 60'000));
    const auto p = average(fixes, kNow);
    REQUIRE(p);
    CHECK(p->accuracyMm >= 49'000);
    CHECK_FALSE(isUsableForPlace(*p));
}

TEST_CASE("Averages are right across the date line", "[place]") {
    // 100 units of 10^-7 degree, 1.1 m, either side of the 180th meridian; the mean is on it.
    const std::vector<Fix> fixes{fixAt(2, -167'000'000, 1'799'999'900),
                                 fixAt(1, -167'000'000, -1'799'999'900)};
    const auto p = average(fixes, kNow);
    REQUIRE(p);
    CHECK(p->fixCount == 2);
    CHECK(std::abs(p->lonE7) == 1'800'000'000);
    CHECK(std::abs(p->latE7 + 167'000'000) <= 1);

    // Three to one: a quarter of the way.
    const std::vector<Fix> more{fixAt(4, 0, 1'799'999'900), fixAt(3, 0, 1'799'999'900),
                                fixAt(2, 0, 1'799'999'900), fixAt(1, 0, -1'799'999'900)};
    CHECK(std::abs(average(more, kNow)->lonE7 - 1'799'999'950) <= 1);
}

TEST_CASE("Averages are right around the poles", "[place]") {
    for (const std::int32_t sign : {1, -1}) {
        // Four fixes 1.1 m from the pole, a quarter turn apart.
        std::vector<Fix> fixes;
        for (const int lonDegrees : {0, 90, 180, -90})
            fixes.push_back(fixAt(1, sign * 899'999'900, lonDegrees * 10'000'000));
        const auto p = average(fixes, kNow);
        REQUIRE(p);
        CHECK(p->fixCount == 4);
        CHECK(std::abs(p->latE7 - sign * 900'000'000) <= 1);
        CHECK(isLegal(*p));
        // And on it, where longitude says nothing.
        const std::vector<Fix> onIt{fixAt(2, sign * 900'000'000, 0),
                                    fixAt(1, sign * 900'000'000, -1'800'000'000)};
        const auto pole = average(onIt, kNow);
        REQUIRE(pole);
        CHECK(pole->latE7 == sign * 900'000'000);
        CHECK(isLegal(*pole));
    }
}

TEST_CASE("Absurd numbers give a legal position or none", "[place]") {
    constexpr auto kMost = std::numeric_limits<std::int64_t>::max();
    constexpr auto kLeast = std::numeric_limits<std::int64_t>::min();
    // Opposite ends of the Earth, both claiming to be good to more than the Earth: they cancel out.
    const std::vector<Fix> opposite{fixAt(2, 0, 0, kMost), fixAt(1, 0, 1'800'000'000, kMost)};
    const auto p = average(opposite, kNow);
    REQUIRE(p);
    CHECK(isLegal(*p));
    CHECK(p->uncertaintyMm == kWholeEarthMm);
    CHECK(std::abs(p->lonE7) == 1'800'000'000); // the newest

    CHECK_FALSE(average(opposite, kLeast));
    CHECK_FALSE(average(opposite, kMost));
    const std::vector<Fix> first{Fix{time::Instant{}, kLeast, 0, 0, 1}};
    CHECK_FALSE(average(first, kMost));
    CHECK(average(first, kLeast)->uncertaintyMm == 2);
}

TEST_CASE("A receiver's position worse than 50 m leaves the place to the chosen site", "[place]") {
    CHECK(isUsableForPlace(*average(std::vector<Fix>{fixAt(1, 0, 0, 25'000)}, kNow)));
    CHECK_FALSE(isUsableForPlace(*average(std::vector<Fix>{fixAt(1, 0, 0, 25'001)}, kNow)));
    Position typed;
    typed.origin = Position::Origin::Typed;
    typed.uncertaintyMm = 5'000'000;
    CHECK(isUsableForPlace(typed));
}

TEST_CASE("A position goes stale when its newest fix is ten seconds old", "[place]") {
    const std::vector<Fix> fixes{fixAt(0, 0, 0)};
    CHECK_FALSE(isStale(*average(fixes, kNow + 9'999)));
    CHECK(isStale(*average(fixes, kNow + 10'000)));
    Position site;
    site.origin = Position::Origin::Site;
    site.uncertaintyMm = 20'000;
    CHECK_FALSE(isStale(site));
}
