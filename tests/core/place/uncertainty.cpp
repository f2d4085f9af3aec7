#include "core/place/uncertainty.h"

#include "catch_compat.hpp"

#include <array>
#include <cmath>
#include <limits>

using namespace discal::place;
using namespace std::chrono;

TEST_CASE("Uncertainty from coordinate precision agrees with the published table", "[place]") {
    // Chapman and Wieczorek 2020, Georeferencing Best Practices, table of uncertainty by precision and
    // latitude; printed in whole metres, rounded up. Recomputed elsewhere to within 1 m (science.md 9.3),
    // hence the tolerance.
    struct Row {
        const char* precision;
        double step;
        std::array<double, 4> metres; // at 0, 30, 60 and 85 degrees
    };
    const Row rows[] = {
        {"1 degree", 1.0, {156904, 146962, 124605, 112109}},
        {"0.1 degree", 0.1, {15691, 14697, 12461, 11211}},
        {"0.01 degree", 0.01, {1570, 1470, 1246, 1121}},
        {"0.001 degree", 0.001, {157, 147, 125, 112}},
        {"0.0001 degree", 0.0001, {16, 15, 13, 12}},
        {"0.00001 degree", 0.00001, {2, 2, 2, 2}},
        {"1 minute", 1.0 / 60, {2615, 2450, 2077, 1869}},
        {"0.1 minute", 0.1 / 60, {262, 245, 208, 187}},
        {"1 second", 1.0 / 3600, {44, 41, 35, 32}},
    };
    const std::array<double, 4> latitudes{0, 30, 60, 85};
    for (const Row& row : rows) {
        for (std::size_t i = 0; i < latitudes.size(); ++i) {
            INFO(row.precision << " at " << latitudes[i]);
            CHECK(std::abs(std::ceil(coordinatePrecisionMetres(latitudes[i], row.step)) - row.metres[i]) <=
                  1.0);
            CHECK(coordinatePrecisionMetres(-latitudes[i], row.step) ==
                  coordinatePrecisionMetres(latitudes[i], row.step));
        }
    }
}

TEST_CASE("The worked example of coordinate precision comes out part by part", "[place]") {
    // Same source: 10.27, -123.6 written to 0.01 degree. Printed to a decimetre.
    const DegreeMetres degree = degreeMetres(10.27);
    CHECK(degree.north * 0.01 == Approx(1106.1).margin(0.06));
    CHECK(degree.east * 0.01 == Approx(1095.5).margin(0.06));
    CHECK(coordinatePrecisionMetres(10.27, 0.01) == Approx(1556.8).margin(0.06));
    // The second example, total only: its printed parts don't follow from the formula (science.md 9.3).
    CHECK(coordinatePrecisionMetres(10.0, 0.5) == Approx(77'870).margin(5.1));
}

TEST_CASE("A degree has the textbook length at the equator and a pole", "[place]") {
    // A degree of the equator is 2 pi a / 360 by definition. At a pole M = N = a^2 / b.
    CHECK(degreeMetres(0).east == Approx(111'319.4908).margin(0.001));
    const double polarRadius = 6'378'137.0 * 6'378'137.0 / 6'356'752.314245;
    CHECK(degreeMetres(90).north == Approx(polarRadius * std::acos(-1.0) / 180).margin(0.001));
    CHECK(degreeMetres(90).east == 0.0);
    CHECK(degreeMetres(-90).east == 0.0);
}

TEST_CASE("Latitudes and steps that can't be give no number", "[place]") {
    const double nan = std::numeric_limits<double>::quiet_NaN();
    for (const double bad : {90.0001, -90.0001, nan, std::numeric_limits<double>::infinity()})
        CHECK(std::isnan(coordinatePrecisionMetres(bad, 0.01)));
    for (const double bad : {-0.01, 180.1, nan})
        CHECK(std::isnan(coordinatePrecisionMetres(45, bad)));
    CHECK(coordinatePrecisionMetres(45, 0) == 0.0);
}

TEST_CASE("Ten kilometres north-east may be 3.90 km off", "[place]") {
    // Chapman and Wieczorek 2020; NE among eight words, so 22.5 degrees either way. Printed to 0.01 km.
    CHECK(headingUncertaintyMetres(10'000, kHalfAngleOf8Words) == Approx(3900).margin(5.1));
    // By hand: sin(22.5 degrees) = 0.382683, sin(5.625 degrees) = 0.098017.
    CHECK(headingUncertaintyMetres(10'000, kHalfAngleOf4Words) == Approx(7653.67).margin(0.01));
    CHECK(headingUncertaintyMetres(10'000, kHalfAngleOf16Words) == Approx(1960.34).margin(0.01));
    CHECK(headingUncertaintyMetres(0, kHalfAngleOf4Words) == 0.0);
    CHECK(std::isnan(headingUncertaintyMetres(-1, kHalfAngleOf4Words)));
    CHECK(std::isnan(headingUncertaintyMetres(1, 181)));
}

TEST_CASE("A receiver's accuracy is doubled, and an unknown one depends on the date", "[place]") {
    // Chapman and Wieczorek 2020: 30 m after 1 May 2000, 100 m before.
    const sys_days lastDegraded{year(2000) / May / 1};
    CHECK(receiverUncertaintyMetres(4.9, lastDegraded) == Approx(9.8));
    CHECK(receiverUncertaintyMetres(std::nullopt, lastDegraded) == 100.0);
    CHECK(receiverUncertaintyMetres(std::nullopt, lastDegraded + days(1)) == 30.0);
    CHECK(receiverUncertaintyMetres(std::nullopt, sys_days(year(1995) / August / 20)) == 100.0);
    for (const double unusable : {0.0, -3.0, std::nan(""), std::numeric_limits<double>::infinity()})
        CHECK(receiverUncertaintyMetres(unusable, sys_days(year(2026) / September / 1)) == 30.0);
}

TEST_CASE("Offset distances are off by half of what their digits imply", "[place]") {
    // Chapman and Wieczorek 2020 (offset precision): kilometres, miles and metres alike.
    const std::pair<const char*, double> rows[] = {
        {"10.1", 0.05}, {"10.5", 0.25}, {"10.25", 0.125}, {"10", 0.5}, {"33", 0.5},
        {"100", 5},     {"140", 5},     {"1000", 50},
    };
    for (const auto& [written, half] : rows) {
        INFO(written);
        REQUIRE(offsetPrecision(written).has_value());
        CHECK(*offsetPrecision(written) == Approx(half));
    }
    CHECK(*offsetPrecision("10,5") == Approx(0.25));
    CHECK(*offsetPrecision("0.5") == Approx(0.25));
    CHECK(*offsetPrecision("7") == Approx(0.5));
    CHECK(*offsetPrecision("145") == Approx(0.5));
    for (const char* none : {"", "0", "0.0", "abc", "1.2.3", "-5", "10.", "1e3", "10 km"})
        CHECK_FALSE(offsetPrecision(none).has_value());
}

TEST_CASE("Two distances at right angles, and cells of a grid, are off by their half diagonal", "[place]") {
    // Chapman and Wieczorek 2020: two right-angled offsets to 1 km give 0.707 km; cells of 1 km, 100 m and 10 m give
    // 707, 71 and 7 m.
    CHECK(rightAngledUncertaintyMetres(500, 500) == Approx(707).margin(0.5));
    CHECK(std::round(gridCellUncertaintyMetres(1000)) == 707);
    CHECK(std::round(gridCellUncertaintyMetres(100)) == 71);
    CHECK(std::round(gridCellUncertaintyMetres(10)) == 7);
    CHECK(std::isnan(gridCellUncertaintyMetres(-1)));
    CHECK(std::isnan(rightAngledUncertaintyMetres(-1, 2)));
}

TEST_CASE("Distance and heading together are off by the farthest corner of what they leave open", "[place]") {
    // Its limits: a heading alone is the published 3.90 km of 10 km NE; a distance alone is its own precision.
    CHECK(offsetUncertaintyMetres(10'000, 0, kHalfAngleOf8Words) == Approx(3900).margin(5.1));
    CHECK(offsetUncertaintyMetres(10'000, 0, kHalfAngleOf16Words) ==
          Approx(headingUncertaintyMetres(10'000, kHalfAngleOf16Words)));
    CHECK(offsetUncertaintyMetres(10'000, 500, 0) == Approx(500));
    // By hand: 10.5 km at 22.5 degrees lies 9.7008 km along and 4.0182 km aside; from 10 km along that is 4.0293 km.
    CHECK(offsetUncertaintyMetres(10'000, 500, kHalfAngleOf8Words) == Approx(4'029.3).margin(0.5));
    CHECK(std::isnan(offsetUncertaintyMetres(-1, 0, 10)));
    CHECK(std::isnan(offsetUncertaintyMetres(1, 0, 181)));
}

TEST_CASE("Sources of uncertainty add up", "[place]") {
    PointRadius sources;
    CHECK(pointRadiusMetres(sources) == 0.0);
    sources.coordinatePrecision = coordinatePrecisionMetres(10.27, 0.01);
    // Chapman and Wieczorek 2020: 1,556.8 m; with a datum that nobody wrote down another 5,359 m.
    CHECK(pointRadiusMetres(sources) == Approx(1556.8).margin(0.06));
    sources.datum = kUnknownDatumMetres;
    CHECK(pointRadiusMetres(sources) == Approx(6915.8).margin(0.06));
    sources = {};
    sources.receiver = receiverUncertaintyMetres(4.9, sys_days(year(2026) / September / 1));
    sources.extent = 100;
    CHECK(pointRadiusMetres(sources) == Approx(109.8));
    // "10 km NE" of a town of 1.2 km radius.
    sources = {};
    sources.extent = 1'200;
    sources.offset = 10'000;
    sources.offsetOff = 1'000 * *offsetPrecision("10");
    sources.halfAngle = kHalfAngleOf8Words;
    CHECK(pointRadiusMetres(sources) == Approx(offsetUncertaintyMetres(10'000, 1'700, kHalfAngleOf8Words)));
    CHECK(pointRadiusMetres(sources) > 3'900);
    sources.extent = -1;
    CHECK(std::isnan(pointRadiusMetres(sources)));
}

TEST_CASE("A place pointed at on a map is off by a millimetre of it and by the map", "[place][map]") {
    // The definition of a scale: a millimetre on a sheet of 1:24,000 is 24 m, on one of 1:100,000 it is 100 m.
    CHECK(pointedUncertaintyMetres(24, 0) == Approx(24));
    CHECK(pointedUncertaintyMetres(100, 50.8) == Approx(150.8));
    CHECK(std::isnan(pointedUncertaintyMetres(-1, 0)));
    CHECK(std::isnan(pointedUncertaintyMetres(1, -1)));
    CHECK(std::isnan(pointedUncertaintyMetres(std::nan(""), 0)));
}
