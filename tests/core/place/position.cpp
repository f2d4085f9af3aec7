#include "core/place/position.h"

#include "catch_compat.hpp"

#include <limits>

using namespace discal::place;

TEST_CASE("Coordinates are legal up to the poles and the 180th meridian and not beyond", "[place]") {
    CHECK(isLegal(900'000'000, 1'800'000'000));
    CHECK(isLegal(-900'000'000, -1'800'000'000));
    CHECK(isLegal(0, 0));
    CHECK_FALSE(isLegal(900'000'001, 0));
    CHECK_FALSE(isLegal(-900'000'001, 0));
    CHECK_FALSE(isLegal(0, 1'800'000'001));
    CHECK_FALSE(isLegal(0, -1'800'000'001));
    CHECK_FALSE(isLegal(std::numeric_limits<std::int32_t>::min(), std::numeric_limits<std::int32_t>::max()));
}

TEST_CASE("A position without an uncertainty is not legal", "[place]") {
    Position p;
    CHECK_FALSE(isLegal(p));
    p.origin = Position::Origin::Typed;
    CHECK_FALSE(isLegal(p));
    p.uncertaintyMm = 1;
    CHECK(isLegal(p));
    p.uncertaintyMm = kWholeEarthMm;
    CHECK(isLegal(p));
    p.uncertaintyMm = kWholeEarthMm + 1;
    CHECK_FALSE(isLegal(p));
}

TEST_CASE("A receiver's position stands on at least one fix", "[place]") {
    Position p;
    p.uncertaintyMm = 10'000;
    CHECK_FALSE(isLegal(p));
    p.fixCount = 1;
    CHECK(isLegal(p));
    p.ageMs = -1;
    CHECK_FALSE(isLegal(p));
}

TEST_CASE("The word for where a position came from is read back, and no other word is", "[place]") {
    CHECK(wordFor(Position::Origin::Receiver) == "receiver");
    CHECK(wordFor(Position::Origin::Site) == "site");
    CHECK(wordFor(Position::Origin::Typed) == "typed");
    CHECK(originFromWord("receiver") == Position::Origin::Receiver);
    CHECK(originFromWord("site") == Position::Origin::Site);
    CHECK(originFromWord("typed") == Position::Origin::Typed);
    for (const char* other : {"", "Receiver", "gps", "site ", "typedd"})
        CHECK_FALSE(originFromWord(other));
}
