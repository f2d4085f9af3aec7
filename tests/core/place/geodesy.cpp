#include "core/place/geodesy.h"

#include "catch_compat.hpp"
#include "reference.h"

#include <cmath>
#include <fstream>
#include <sstream>

using namespace discal;
using place::flightBetween;

namespace {

/// Rows of numbers parted by `mark`; rows that don't begin with a number (heads, or a word before) lose what isn't one.
std::vector<std::vector<double>> rowsOf(const std::filesystem::path& file, char mark) {
    std::vector<std::vector<double>> rows;
    std::ifstream in(file);
    for (std::string line; std::getline(in, line);) {
        std::vector<double> row;
        std::istringstream cells(line);
        for (std::string cell; std::getline(cells, cell, mark);) {
            std::size_t end = 0;
            try {
                row.push_back(std::stod(cell, &end));
            } catch (const std::exception&) {
            }
        }
        if (row.size() == 10)
            rows.push_back(std::move(row));
    }
    return rows;
}

void checkRows(const std::filesystem::path& file, char mark, std::size_t count) {
    const auto rows = rowsOf(file, mark);
    REQUIRE(rows.size() == count);
    double worst = 0;
    for (const auto& row : rows)
        worst = std::max(worst, std::abs(flightBetween({row[0], row[1]}, {row[3], row[4]}).metres - row[6]));
    CHECK(worst < 0.001);
}

} // namespace

TEST_CASE("Distances are those of Karney's published examples", "[place]") {
    // GeographicLib documentation: JFK to London Heathrow, and a nearly antipodal pair.
    const auto across = flightBetween({40.6, -73.8}, {51.6, -0.5});
    CHECK(std::abs(across.metres - 5'551'759.400) < 0.001);
    CHECK(std::abs(across.azimuthFrom - 51.19888) < 0.00001);
    const auto antipodal = flightBetween({-41.32, 174.81}, {40.96, -5.50});
    CHECK(std::abs(antipodal.metres - 19'959'679.267) < 0.001);
    CHECK(std::abs(antipodal.azimuthFrom - 161.06767) < 0.00001);
}

TEST_CASE("Distances are those of the reference rows, to a millimetre", "[place]") {
    const auto folder = tests::reference("standards/geodesy");
    if (!folder)
        return;
    checkRows(*folder / "GeodTest_published_open.dat", ' ', 50);
    checkRows(*folder / "geod_computed_open.csv", ',', 500);
}

TEST_CASE("A place that is none gives no distance", "[place]") {
    CHECK(std::isnan(flightBetween({91, 0}, {0, 0}).metres));
}
