#include "core/place/typed_coordinates.h"

#include "catch_compat.hpp"
#include "core/place/uncertainty.h"

#include <cmath>

using namespace discal;
using namespace discal::place;

namespace {

double latitude(const char* typed) {
    const auto degrees = degreesIn(typed, Axis::Latitude);
    INFO(typed);
    REQUIRE(degrees.has_value());
    return degrees->degreesE7 / 1e7;
}

double longitude(const char* typed) {
    const auto degrees = degreesIn(typed, Axis::Longitude);
    INFO(typed);
    REQUIRE(degrees.has_value());
    return degrees->degreesE7 / 1e7;
}

Code whyNot(const char* typed, Axis axis) {
    const auto degrees = degreesIn(typed, axis);
    INFO(typed);
    REQUIRE_FALSE(degrees.has_value());
    return degrees.error().code;
}

} // namespace

TEST_CASE("Degrees and minutes of a published position are read", "[place]") {
    // A published position of Sierra Chincua, 2010: N 19° 40.158', W 100° 17.772' is 19.66930, -100.29620.
    for (const char* typed : {"N 19° 40.158'", "19° 40.158′ N", "19 40.158 N", "19 40,158", "n19°40.158",
                              "N 19 40.158", "+19 40.158"})
        CHECK(latitude(typed) == Approx(19.66930).margin(1e-5));
    for (const char* typed :
         {"W 100° 17.772'", "100° 17.772′ W", "-100 17.772", "−100° 17,772′", "100 17.772 w"})
        CHECK(longitude(typed) == Approx(-100.29620).margin(1e-5));
    const auto both = positionIn("N 19° 40.158′, W 100° 17.772′");
    REQUIRE(both.has_value());
    CHECK(both->latLon().lat == Approx(19.66930).margin(1e-5));
    CHECK(both->latLon().lon == Approx(-100.29620).margin(1e-5));
}

TEST_CASE("Decimal degrees are read with comma or point, sign or letter", "[place]") {
    for (const char* typed : {"43.5571", "43,5571", "43.5571 N", "N 43.5571", "n43,5571", " +43.5571 ",
                              "43.5571°", "43.5571° N", "043.5571"})
        CHECK(degreesIn(typed, Axis::Latitude)->degreesE7 == 435'571'000);
    for (const char* typed : {"-43.5571", "43,5571 S", "s 43.5571", "\u221243.5571"})
        CHECK(degreesIn(typed, Axis::Latitude)->degreesE7 == -435'571'000);
    CHECK(degreesIn("180", Axis::Longitude)->degreesE7 == 1'800'000'000);
    CHECK(degreesIn("-180", Axis::Longitude)->degreesE7 == -1'800'000'000);
    CHECK(degreesIn("90", Axis::Latitude)->degreesE7 == 900'000'000);
    CHECK(degreesIn("0", Axis::Latitude)->degreesE7 == 0);
    // Rounded to 10^-7 degree.
    CHECK(degreesIn("43.55712345678", Axis::Latitude)->degreesE7 == 435'571'235);
    CHECK(degreesIn("19.6001301", Axis::Latitude)->degreesE7 == 196'001'301);
}

TEST_CASE("Seconds are read", "[place]") {
    // By definition 33' 25.6" are 2005.6/3600 of a degree.
    const double expected = 43 + 2005.6 / 3600;
    for (const char* typed : {"43° 33′ 25.6″ N", "43°33'25.6\"N", "43 33 25.6", "43 33 25,6 N", "N43 33 25.6",
                              "43°33’25.6” N", "43d33'25.6''"})
        CHECK(latitude(typed) == Approx(expected).margin(1e-7));
}

TEST_CASE("What was written says how precise it is", "[place]") {
    // Chapman and Wieczorek 2020: the step of the last digit; its table has 1' and 0.0001 degree at the
    // equator: 2,615 and 16 m, to within 1 m when computed again.
    CHECK(degreesIn("43.5571", Axis::Latitude)->stepDegrees == Approx(0.0001));
    CHECK(degreesIn("43.5570", Axis::Latitude)->stepDegrees == Approx(0.0001));
    CHECK(degreesIn("43", Axis::Latitude)->stepDegrees == Approx(1));
    CHECK(degreesIn("43 33", Axis::Latitude)->stepDegrees == Approx(1.0 / 60));
    CHECK(degreesIn("43 33.4", Axis::Latitude)->stepDegrees == Approx(0.1 / 60));
    CHECK(degreesIn("43 33 25", Axis::Latitude)->stepDegrees == Approx(1.0 / 3600));
    CHECK(coordinatePrecisionMetres(0, degreesIn("0 1", Axis::Latitude)->stepDegrees) ==
          Approx(2615).margin(1));
    CHECK(std::ceil(coordinatePrecisionMetres(0, degreesIn("0.0001", Axis::Latitude)->stepDegrees)) == 16);
}

TEST_CASE("What is no coordinate is refused with the legal form", "[place]") {
    for (const char* typed : {"",
                              " ",
                              "north",
                              "43.55.71",
                              "43°° 5",
                              "43 60",
                              "43 33 60",
                              "43 33 61.2",
                              "43.5 33",
                              "N",
                              "-",
                              "43 N S",
                              "N 43 N",
                              "-43 S",
                              "N -43",
                              "43;5",
                              "1e2",
                              "0x2B",
                              "43 33 25 6",
                              "43,5,5",
                              "４３",
                              "43 -33",
                              "12345678901234567890"}) {
        CHECK(whyNot(typed, Axis::Latitude) == Code::BadInput);
        CHECK_FALSE(degreesIn(typed, Axis::Latitude).error().detail.empty());
    }
    CHECK(whyNot("90.0001", Axis::Latitude) == Code::OutOfRange);
    CHECK(whyNot("-91", Axis::Latitude) == Code::OutOfRange);
    CHECK(whyNot("180.1", Axis::Longitude) == Code::OutOfRange);
    CHECK(degreesIn("181", Axis::Longitude).error().detail == "longitude");
}

TEST_CASE("Latitude and longitude the other way round are noticed", "[place]") {
    CHECK(whyNot("90.8893 W", Axis::Latitude) == Code::BadInput);
    CHECK(degreesIn("90.8893 W", Axis::Latitude).error().detail ==
          "latitude and longitude the other way round");
    // Letters say it: they are put right.
    const auto lettered = positionIn("W 90.8889, N 43.5571");
    REQUIRE(lettered.has_value());
    CHECK(lettered->wasSwapped);
    CHECK(lettered->latitude.degreesE7 == 435'571'000);
    CHECK(lettered->longitude.degreesE7 == -908'889'000);
    // Beyond 90 degrees: it can't be a latitude.
    const auto beyond = positionIn("-90.8889, 43.5571");
    REQUIRE_FALSE(beyond.has_value());
    CHECK(beyond.error().detail == "latitude and longitude the other way round");
    CHECK(positionIn("100, 200").error().code == Code::OutOfRange);
    // Legal both ways: only where we work tells.
    const LatLon meadow{43.56, -89.9};
    CHECK(looksSwapped({-89.9, 43.56}, meadow));
    CHECK_FALSE(looksSwapped({43.5, -89.8}, meadow));
    CHECK_FALSE(looksSwapped({19.6, -100.3}, meadow));
    CHECK_FALSE(looksSwapped({44, -91}, {43.56, -90.88}));
}

TEST_CASE("Both coordinates in one text", "[place]") {
    for (const char* typed :
         {"43.5571, -90.8889", "43.5571,-90.8889", "43.5571 -90.8889", "43,5571; -90,8889",
          "43,5571 -90,8889", "43,5571, -90,8889", "43,5571,-90,8889", "N 43.5571 W 90.8889",
          "43.5571 N 90.8889 W", "43.5571N,90.8889W", "43.5571° N, 90.8889° W"}) {
        const auto position = positionIn(typed);
        INFO(typed);
        REQUIRE(position.has_value());
        CHECK(position->latitude.degreesE7 == 435'571'000);
        CHECK(position->longitude.degreesE7 == -908'889'000);
        CHECK_FALSE(position->wasSwapped);
    }
    for (const char* typed : {"N 43 33.426 W 90 53.334", "43 33.426 N, 90 53.334 W", "43 33.426 -90 53.334",
                              "43°33.426'N 90°53.334'W", "43° 33′ 25.56″ N 90° 53′ 20.04″ W"}) {
        const auto position = positionIn(typed);
        INFO(typed);
        REQUIRE(position.has_value());
        CHECK(position->latLon().lat == Approx(43.5571).margin(1e-6));
        CHECK(position->latLon().lon == Approx(-90.8889).margin(1e-6));
    }
    for (const char* typed : {"", "43.5571", "43.5571,", "N 43.5571, 90.8889", "N 43.5571 N 44",
                              "43.5571, -90.8889, 15", "43 33 90", "a, b"})
        CHECK_FALSE(positionIn(typed).has_value());
}
