#include "core/place/compass.h"

#include "catch_compat.hpp"

#include <cmath>
#include <limits>

using discal::place::compassWord;

TEST_CASE("Sixteen compass words, each for a sector about its own direction", "[place]") {
    // The points of the compass stand 22.5 degrees apart; Chapman and Wieczorek 2020: NNE is 11.25 degrees
    // either way.
    const char* words[] = {"N", "NNE", "NE", "ENE", "E", "ESE", "SE", "SSE",
                           "S", "SSW", "SW", "WSW", "W", "WNW", "NW", "NNW"};
    for (int i = 0; i < 16; ++i) {
        CHECK(compassWord(22.5 * i) == words[i]);
        CHECK(compassWord(22.5 * i + 11.24) == words[i]);
        CHECK(compassWord(22.5 * i - 11.24) == words[i]);
        CHECK(compassWord(22.5 * i - 720) == words[i]);
    }
    CHECK(compassWord(-90) == "W");
    CHECK(compassWord(-180) == "S");
    CHECK(compassWord(359.99) == "N");
    CHECK(compassWord(std::nan("")).empty());
    CHECK(compassWord(std::numeric_limits<double>::infinity()).empty());
}
