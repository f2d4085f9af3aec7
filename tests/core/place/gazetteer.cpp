#include "places.h"

#include "catch_compat.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <random>
#include <set>

using namespace discal;
using namespace discal::place;
using namespace discal::tests;

TEST_CASE("The gazetteer is at most seven megabytes and agrees with its checksum", "[place]") {
    CHECK(gazetteerFile().size() <= 7'000'000);
    CHECK(gazetteer().verify().has_value());
    CHECK(gazetteer().edition() == "discal-2026.2");
}

TEST_CASE("A gazetteer that is cut off, changed or newer is refused with the reason", "[place]") {
    const std::string& whole = gazetteerFile();
    for (const std::size_t size : {std::size_t{0}, std::size_t{7}, std::size_t{20}, std::size_t{100},
                                   std::size_t{300}, whole.size() / 2, whole.size() - 1}) {
        const auto cut = Gazetteer::open(asBytes(whole).first(size));
        REQUIRE_FALSE(cut.has_value());
        CHECK(cut.error().code == Code::Corrupt);
        CHECK_FALSE(cut.error().detail.empty());
    }
    std::string changed = whole;
    changed[8] = 2;
    REQUIRE_FALSE(Gazetteer::open(asBytes(changed)).has_value());
    CHECK(Gazetteer::open(asBytes(changed)).error().code == Code::NewerFile);
    CHECK(Gazetteer::open(asBytes(changed)).error().number == 2);
    changed = "PK" + whole;
    CHECK(Gazetteer::open(asBytes(changed)).error().code == Code::Corrupt);
    // The table of sections: the first begins far beyond the end.
    changed = whole;
    changed[88 + 3] = '\x7f';
    CHECK(Gazetteer::open(asBytes(changed)).error().code == Code::Corrupt);
    // A byte anywhere else is found by the checksum.
    for (const std::size_t at :
         {std::size_t{30}, std::size_t{500}, whole.size() / 3, whole.size() / 2, whole.size() - 1}) {
        changed = whole;
        changed[at] = static_cast<char>(changed[at] ^ 1);
        const auto opened = Gazetteer::open(asBytes(changed));
        REQUIRE(opened.has_value());
        REQUIRE_FALSE(opened->verify().has_value());
        CHECK(opened->verify().error().code == Code::BadChecksum);
    }
}

TEST_CASE("Our meadow has its town, county and state", "[place]") {
    // Viroqua, seat of Vernon County, Wisconsin.
    const Place place = placeAt(43.5657, -90.8780);
    CHECK(place.country == AreaName{"United States", "US"});
    CHECK(place.region == AreaName{"Wisconsin", "US-WI"});
    CHECK(place.county == AreaName{"Vernon County", "55123"});
    CHECK(place.isCountyCertain());
    CHECK_FALSE(place.isOffshore);
    REQUIRE(place.town.has_value());
    CHECK(place.town->name == "Viroqua");
    CHECK(place.town->bearing == "NE");
    CHECK(place.town->metres == Approx(1'300).margin(50));
    // The place's own height there, by GeoNames; the U.S. Board on Geographic Names has 1,280 ft (from
    // memory).
    REQUIRE(place.town->elevationMetres.has_value());
    CHECK(*place.town->elevationMetres == Approx(390).margin(10));
}

TEST_CASE("ZIP areas that lie in one county are found in it", "[place]") {
    // County: the Census Bureau's relationship file and the federal crosswalk; see tests/data/places/README.md.
    int rows = 0;
    int right = 0;
    int rightState = 0;
    for (const TableRow& row : placesOf("zip_areas.csv")) {
        const LatLon at = whereOf(row);
        const Place place = placeAt(at.lat, at.lon);
        ++rows;
        right += place.county.code == row.at("fips") ? 1 : 0;
        rightState +=
            place.region.code == "US-" + row.at("state") || place.country.code == row.at("state") ? 1 : 0;
        if (place.county.code != row.at("fips"))
            UNSCOPED_INFO(row.at("id") << " " << row.at("fips") << " is not " << place.county.name);
    }
    CHECK(rows == 397);
    CHECK(right >= 0.99 * rows);
    CHECK(rightState >= 0.998 * rows);
}

TEST_CASE("Near a line the county is right, or it is the neighbour that is named", "[place]") {
    // County: GeoNames' own code of each town.
    std::map<std::string, std::string> legal;
    for (const TableRow& row : placesOf("us_counties_2010.csv"))
        legal[row.at("fips")] = row.at("name");
    int rows = 0;
    int right = 0;
    int named = 0;
    for (const TableRow& row : placesOf("near_line.csv")) {
        const LatLon at = whereOf(row);
        const Place place = placeAt(at.lat, at.lon);
        INFO(row.at("id") << ", " << row.at("state") << " in " << place.county.name);
        ++rows;
        CHECK_FALSE(place.isCountyCertain());
        if (place.county.code == row.at("fips")) {
            ++right;
            continue;
        }
        named += place.neighbour && place.neighbour->county.code == row.at("fips") ? 1 : 0;
    }
    CHECK(rows == 250);
    CHECK(right >= 0.9 * rows);
    CHECK(named >= 0.9 * (rows - right));
}

TEST_CASE("Airports lie in the country and state that their own list says", "[place]") {
    int rows = 0;
    int right = 0;
    int american = 0;
    int rightRegion = 0;
    for (const TableRow& row : placesOf("airports.csv")) {
        const LatLon at = whereOf(row);
        const Place place = placeAt(at.lat, at.lon);
        ++rows;
        right += place.country.code == row.at("country") ? 1 : 0;
        if (place.country.code != row.at("country"))
            UNSCOPED_INFO(row.at("id") << " " << row.at("country") << " is not " << place.country.code);
        if (row.at("country") == "US" || row.at("country") == "CA" || row.at("country") == "MX") {
            ++american;
            // The list still has Mexico City under its old code.
            const std::string code = row.at("region") == "MX-DIF" ? "MX-CMX" : row.at("region");
            rightRegion += place.region.code == code ? 1 : 0;
        }
    }
    REQUIRE(rows == 400);
    CHECK(right >= 0.985 * rows);
    CHECK(rightRegion >= 0.99 * american);
}

TEST_CASE("The main place of every time zone lies in its country", "[place]") {
    int rows = 0;
    int right = 0;
    for (const TableRow& row : placesOf("zones.csv")) {
        const LatLon at = whereOf(row);
        const Place place = placeAt(at.lat, at.lon);
        ++rows;
        right += place.country.code == row.at("country") ? 1 : 0;
        if (place.country.code != row.at("country"))
            UNSCOPED_INFO(row.at("id") << " " << row.at("country") << " is not " << place.country.code);
    }
    REQUIRE(rows == 312);
    CHECK(right >= 0.985 * rows);
}

TEST_CASE("Exclaves, islands, capes, moved rivers, the date line and the poles", "[place]") {
    const std::set<std::string> nearLine{"carter-lake", "falls-church"};
    for (const TableRow& row : placesOf("hard.csv")) {
        const LatLon at = whereOf(row);
        const Place place = placeAt(at.lat, at.lon);
        INFO(row.at("id") << ": " << place.county.name << ", " << place.region.name << ", "
                          << place.country.name);
        CHECK(place.country.code == row.at("country"));
        if (nearLine.count(row.at("id")) != 0) {
            // Finer than the boundaries of our source: then it must say so.
            CHECK(place.county.code != row.at("county"));
            CHECK(place.neighbour.has_value());
            continue;
        }
        if (!row.at("region").empty())
            CHECK(place.region.code == row.at("region"));
        if (!row.at("county").empty())
            CHECK(place.county.code == row.at("county"));
    }
}

TEST_CASE("Counties bear the legal names of the Census Bureau's list", "[place]") {
    // The list is of 2010: what changed since is told here (Census Bureau, substantial changes to counties,
    // from memory).
    const std::map<std::string, std::string> renamed{
        {"35013", "Doña Ana County"}, // the list has no letters with signs
        {"02275", "Wrangell City and Borough"},
        {"22059", "LaSalle Parish"},
        {"02195", "Petersburg Borough"},
    };
    std::map<std::string, std::string> legal;
    for (const TableRow& row : placesOf("us_counties_2010.csv"))
        legal[row.at("fips")] = row.at("name");
    const GazetteerFile& file = gazetteer().file();
    const auto plain = [&](const std::string& name) { return TownNames(file).folded(name); };
    int counties = 0;
    int unknown = 0;
    for (std::uint32_t i = 0; i < file.areaCount(); ++i) {
        const AreaRecord area = file.area(static_cast<AreaIndex>(i));
        if (area.kind != AreaRecord::Kind::County || area.code.size() != 5)
            continue;
        const auto found = legal.find(std::string(area.code));
        const AreaRecord above = file.area(area.parent);
        const bool isAmerican = above.code.starts_with("US-") || above.kind == AreaRecord::Kind::Country;
        if (!isAmerican)
            continue;
        ++counties;
        if (found == legal.end()) {
            ++unknown;
            continue;
        }
        INFO(area.code);
        const auto said = renamed.find(found->first);
        CHECK(plain(std::string(area.name)) == plain(said != renamed.end() ? said->second : found->second));
    }
    CHECK(counties == 3'233);
    // Connecticut's nine planning regions, and in Alaska Chugach, Copper River, Kusilvak; Oglala Lakota.
    CHECK(unknown == 13);
}

TEST_CASE("Near a line the neighbour is named, at least within a kilometre, or within the uncertainty",
          "[place]") {
    // La Crosse, Wisconsin, on the Mississippi: Minnesota's Houston County begins in the river.
    const Place river = placeAt(43.8, -91.25);
    CHECK(river.county.name == "La Crosse County");
    REQUIRE(river.neighbour.has_value());
    CHECK(river.neighbour->county.name == "Houston County");
    CHECK(river.neighbour->region.code == "US-MN");
    CHECK(river.neighbour->metres < 1'000);
    CHECK_FALSE(river.isCountyCertain());
    // Some 9 km inside: certain, until the position may be 12 km off.
    CHECK(placeAt(43.6, -90.85).isCountyCertain());
    const Place coarse = placeAt(43.6, -90.85, 30'000);
    CHECK_FALSE(coarse.isCountyCertain());
    REQUIRE(coarse.neighbour.has_value());
    CHECK(coarse.neighbour->metres > 1'000);
    CHECK(coarse.neighbour->metres < 30'000);
    // The 49th parallel: a national border.
    const Place border = placeAt(48.9985, -100.0);
    CHECK(border.country.code == "US");
    REQUIRE(border.neighbour.has_value());
    CHECK(border.neighbour->country.code == "CA");
    CHECK(placeAt(49.02, -100.0).country.code == "CA");
}

TEST_CASE("A line that was thinned out in bends counts from farther away than a straight one", "[place]") {
    // Newell, a borough of Fayette County in a loop of the Monongahela (ZIP code 15466, federal crosswalk): the
    // loop is cut off in our source.
    const Place loop = placeAt(40.0751, -79.8943);
    CHECK(loop.county.name == "Washington County");
    REQUIRE(loop.neighbour.has_value());
    CHECK(loop.neighbour->county.name == "Fayette County");
    CHECK(loop.neighbour->metres > kLineMetres);
    CHECK(loop.neighbour->metres <= kMostThinnedMetres);
    // As far from the line between Kansas and Nebraska, which follows the 40th parallel.
    CHECK(flightBetween({40.0, -99.5}, {40.0135, -99.5}).metres == Approx(1'500).margin(5));
    CHECK(placeAt(40.0135, -99.5).isCountyCertain());
    CHECK_FALSE(placeAt(40.0050, -99.5).isCountyCertain());
}

TEST_CASE("Distances to a line are those on the ellipsoid", "[place]") {
    // Straight state lines, by the distance that a step away from them adds (Karney 2013): Kansas and
    // Nebraska along a parallel, Wyoming and Nebraska along a meridian. The plane that distances are taken on
    // is within 0.5 %.
    const auto added = [](const LatLon& near, const LatLon& far) {
        const Place one = gazetteer().locate(near, 5'000);
        const Place other = gazetteer().locate(far, 5'000);
        REQUIRE(one.neighbour.has_value());
        REQUIRE(other.neighbour.has_value());
        CHECK(one.neighbour->region == other.neighbour->region);
        return other.neighbour->metres - one.neighbour->metres;
    };
    CHECK(added({40.01, -99.5}, {40.03, -99.5}) ==
          Approx(flightBetween({40.01, -99.5}, {40.03, -99.5}).metres).epsilon(0.005));
    CHECK(added({41.5, -104.04}, {41.5, -104.01}) ==
          Approx(flightBetween({41.5, -104.04}, {41.5, -104.01}).metres).epsilon(0.005));
}

TEST_CASE("Off the shore the nearest county of the same country answers, to 25 km", "[place]") {
    // Lake Michigan off Milwaukee: 10 km, then the middle of the lake.
    const Place near = placeAt(43.03, -87.75);
    CHECK(near.isOffshore);
    CHECK(near.countyBy == CountyBy::NearestShore);
    CHECK(near.county.name == "Milwaukee County");
    CHECK(near.region.code == "US-WI");
    CHECK_FALSE(near.isCountyCertain());
    const Place middle = placeAt(43.03, -87.25);
    CHECK(middle.isOffshore);
    CHECK(middle.country.code == "US");
    CHECK(middle.county.name.empty());
    // The sea off San Diego: nearer to Mexico's shore than to California's is Mexico's.
    CHECK(placeAt(32.60, -117.20).county.name == "San Diego County");
    const Place south = placeAt(32.45, -117.18);
    CHECK(south.country.code == "MX");
    CHECK(south.county.name.empty());
    // 200 km out in the Atlantic.
    const Place sea = placeAt(36.0, -72.5);
    CHECK(sea.isOffshore);
    CHECK(sea.country.name.empty());
    CHECK(sea.county.name.empty());
    CHECK_FALSE(sea.neighbour.has_value());
}

TEST_CASE("No county is taken across a border", "[place]") {
    // Windsor, Ontario, 1.5 km from Wayne County, Michigan.
    const Place windsor = placeAt(42.305, -83.03);
    CHECK(windsor.country.code == "CA");
    CHECK(windsor.region.code == "CA-ON");
    CHECK(windsor.county.name == "Essex County");
    CHECK(windsor.countyBy == CountyBy::NearestTown);
    CHECK_FALSE(windsor.isCountyCertain());
}

TEST_CASE("In Canada and Mexico the county is that of the nearest place, and said so", "[place]") {
    // Census division numbers and INEGI's: Essex is 3537, Ocampo in Michoacán 16061.
    const Place chincua = placeAt(19.674, -100.294);
    CHECK(chincua.country.code == "MX");
    CHECK(chincua.region == AreaName{"Michoacán", "MX-MIC"});
    CHECK(chincua.countyBy == CountyBy::NearestTown);
    CHECK(chincua.county.code.starts_with("16"));
    CHECK(placeAt(42.305, -83.03).county.code == "3537");
    // GeoNames numbers Coahuila 07 and Chiapas 05; INEGI has them the other way round (Saltillo is 05030).
    CHECK(placeAt(25.42, -101.0).county == AreaName{"Saltillo", "05030"});
    CHECK(placeAt(16.75, -93.115).county.code == "07101"); // Tuxtla Gutiérrez
    CHECK(placeAt(19.43, -99.13).region == AreaName{"Ciudad de México", "MX-CMX"});
    // Where the sources have the subdivision (seven digits), its division is meant: Calgary is in Division
    // No. 6.
    CHECK(placeAt(51.05, -114.07).county == AreaName{"Division No. 6", "4806"});
    CHECK(placeAt(46.1, -66.6).region.name == "New Brunswick");
}

TEST_CASE("A city answers in its midst, not one of its neighbourhoods", "[place]") {
    for (const auto& [lat, lon, name] : std::vector<std::tuple<double, double, const char*>>{
             {41.885, -87.625, "Chicago"},
             {45.505, -73.57, "Montréal"},
             {51.045, -114.06, "Calgary"},
             {19.43, -99.135, "Mexico City"},
             {43.077, -89.385, "Madison"},
         }) {
        const Place place = placeAt(lat, lon);
        REQUIRE(place.town.has_value());
        CHECK(place.town->name == name);
    }
}

TEST_CASE("A town across the line is nearer, and still the one on this side is named when it is near enough",
          "[place]") {
    // Brownsville, Texas and Matamoros, Tamaulipas stand at the two sides of the Rio Grande.
    const Place texas = placeAt(25.91, -97.49);
    CHECK(texas.country.code == "US");
    REQUIRE(texas.town.has_value());
    CHECK(texas.town->name == "Brownsville");
    CHECK(texas.town->country.code == "US");
}

TEST_CASE("Where no town is within 250 km, none is said", "[place]") {
    for (const LatLon& at : {LatLon{52.9, 173.0}, LatLon{-48.88, -123.39}, LatLon{90, 0}, LatLon{-90, 0},
                             LatLon{0, 0}, LatLon{0, 180}, LatLon{0, -180}})
        CHECK_FALSE(gazetteer().locate(at, 0).town.has_value());
}

TEST_CASE("Both ways to write the date line are one place, and towns are found across it", "[place]") {
    // Fiji's Taveuni lies on the 180th meridian.
    const Place east = placeAt(-16.82, -179.99);
    const Place west = placeAt(-16.82, 179.99);
    REQUIRE(east.town.has_value());
    REQUIRE(west.town.has_value());
    CHECK(east.town->name == west.town->name);
    CHECK(std::abs(east.town->metres - west.town->metres) < 3'000);
    CHECK(placeAt(-16.82, 180).country == placeAt(-16.82, -180).country);
}

TEST_CASE("Territories of the United States have countries of their own, and no state", "[place]") {
    const Place ponce = placeAt(18.01, -66.61);
    CHECK(ponce.country == AreaName{"Puerto Rico", "PR"});
    CHECK(ponce.region == AreaName{});
    CHECK(ponce.county == AreaName{"Ponce Municipio", "72113"});
}

TEST_CASE("What is no place on Earth gives a place of nothing", "[place]") {
    const double nan = std::numeric_limits<double>::quiet_NaN();
    for (const LatLon& at :
         {LatLon{90.1, 0}, LatLon{-91, 0}, LatLon{0, 180.1}, LatLon{0, -181}, LatLon{nan, 0}, LatLon{0, nan},
          LatLon{std::numeric_limits<double>::infinity(), 0}}) {
        const Place place = gazetteer().locate(at, 10);
        CHECK(place.country.name.empty());
        CHECK_FALSE(place.town.has_value());
    }
    for (const double uncertainty : {nan, -5.0, std::numeric_limits<double>::infinity(), 1e12})
        CHECK(placeAt(43.5657, -90.8780, uncertainty).county.name == "Vernon County");
}

TEST_CASE("Towns are found by their first letters, nearest and largest first", "[place]") {
    const LatLon here{43.56, -90.88};
    const auto viroqua = gazetteer().find("viro", here, 5);
    REQUIRE_FALSE(viroqua.empty());
    CHECK(viroqua.front().name == "Viroqua");
    CHECK(viroqua.front().county.name == "Vernon County");
    CHECK(viroqua.front().region.code == "US-WI");
    CHECK(viroqua.front().country.code == "US");
    REQUIRE(viroqua.front().metres.has_value());
    CHECK(*viroqua.front().metres < 2'000);
    // A small Madison elsewhere does not go before Wisconsin's; from Alabama its own goes first.
    CHECK(gazetteer().find("Madison", here, 3).front().region.code == "US-WI");
    CHECK(gazetteer().find("Madison", LatLon{34.7, -86.7}, 3).front().region.code == "US-AL");
    // Without a place the largest.
    CHECK(gazetteer().find("london", std::nullopt, 1).front().country.code == "GB");
    CHECK(gazetteer().find("la cro", here, 2).front().name == "La Crosse");
    CHECK(gazetteer().find("a", here, 20).size() == 20);
    CHECK(gazetteer().find("a", here, 0).empty());
    CHECK(gazetteer().find("zzzzqx", here, 5).empty());
    CHECK(gazetteer().find("", here, 5).empty());
    CHECK(gazetteer().find(" .'", here, 5).empty());
}

TEST_CASE("Accents, signs and the short forms of Saint don't matter", "[place]") {
    const auto first = [](const char* typed) {
        const auto found = gazetteer().find(typed, LatLon{40, -95}, 1);
        return found.empty() ? std::string() : found.front().name;
    };
    CHECK(first("montreal") == "Montréal");
    CHECK(first("MONTRÉAL") == "Montréal");
    CHECK(first("trois rivieres") == "Trois-Rivières");
    CHECK(first("st louis") == first("Saint Louis"));
    CHECK(first("St. Louis") == first("Saint Louis"));
    CHECK_FALSE(first("St. Louis").empty());
    CHECK(first("coeur dalene") == first("Coeur d’Alene"));
    CHECK_FALSE(first("coeur dalene").empty());
    CHECK(first("ofallon") == "O'Fallon");
}

TEST_CASE("Names in the file are in the order in which they are searched", "[place]") {
    // Written by the generator's folding, read by ours: the two must agree.
    const TownNames names(gazetteer().file());
    std::string before;
    std::uint32_t outOfOrder = 0;
    for (std::uint32_t i = 0; i < gazetteer().file().nameCount(); ++i) {
        std::string now = names.folded(names.at(i));
        outOfOrder += now < before ? 1 : 0;
        before = std::move(now);
    }
    CHECK(gazetteer().file().nameCount() > 100'000);
    CHECK(outOfOrder == 0);
}

TEST_CASE("No ghosts: in a county no two places of one name lie far apart", "[place]") {
    std::map<std::pair<AreaIndex, std::uint32_t>, TownRecord> seen;
    const GazetteerFile& file = gazetteer().file();
    gazetteer().towns().all([&](const TownRecord& town) {
        if (file.area(town.area).kind != AreaRecord::Kind::County)
            return;
        const auto [at, isNew] = seen.emplace(std::pair(town.area, town.name), town);
        if (isNew)
            return;
        const LatLon one{at->second.y / 1e4, at->second.x / 1e4};
        const LatLon other{town.y / 1e4, town.x / 1e4};
        const double metres = flightBetween(one, other).metres;
        if (metres > 150'000) {
            UNSCOPED_INFO(gazetteer().townName(town) << " in " << file.area(town.area).name << " " << metres);
            CHECK(metres < 150'000);
        }
    });
    CHECK(seen.size() > 30'000);
}

TEST_CASE("Borders for maps: every piece lies in its box, and on either side of a state line are two states",
          "[place]") {
    const Borders borders = gazetteer().borders();
    std::size_t points = 0;
    std::size_t outside = 0;
    for (std::uint32_t arc = 0; arc < borders.arcCount(); ++arc)
        borders.piecesOf(arc, [&](const Borders::Piece& piece) {
            borders.pointsOf(piece.chunk, [&](std::int32_t x, std::int32_t y) {
                ++points;
                outside += x < piece.west || x > piece.east || y < piece.south || y > piece.north ? 1 : 0;
            });
        });
    CHECK(points > 500'000);
    CHECK(outside == 0);
}

TEST_CASE("A ray that stops early finds the same areas as one that goes around the world", "[place]") {
    // The plain even-odd rule over whole polygons, without the grid.
    const Borders borders = gazetteer().borders();
    const GazetteerFile& file = gazetteer().file();
    std::vector<std::vector<Borders::Piece>> pieces(file.areaCount());
    for (std::uint32_t arc = 0; arc < borders.arcCount(); ++arc)
        borders.piecesOf(arc, [&](const Borders::Piece& piece) {
            for (const AreaIndex area : {piece.one, piece.other})
                if (area < pieces.size())
                    pieces[area].push_back(piece);
        });
    const auto isInside = [&](AreaIndex area, const Outlook& at) {
        bool inside = false;
        for (const Borders::Piece& piece : pieces[area]) {
            if (piece.south > at.y || piece.north < at.y || piece.east < at.x)
                continue;
            bool hasPoint = false;
            double x1 = 0;
            double y1 = 0;
            borders.pointsOf(piece.chunk, [&](std::int32_t x2, std::int32_t y2) {
                if (hasPoint && (y1 <= at.y) != (y2 <= at.y) &&
                    x1 + (x2 - x1) * (at.y - y1) / (y2 - y1) > at.x)
                    inside = !inside;
                x1 = x2;
                y1 = y2;
                hasPoint = true;
            });
        }
        return inside;
    };
    std::mt19937 random(1);
    std::uniform_real_distribution<double> unit(0, 1);
    std::size_t held = 0;
    for (int i = 0; i < 1'500; ++i) {
        // North America; every third on a corner or edge of the grid, where mistakes would be.
        LatLon at{15 + 60 * unit(random), -170 + 115 * unit(random)};
        if (i % 3 == 0)
            at.lat = std::round(at.lat * 4) / 4;
        if (i % 6 == 0)
            at.lon = std::round(at.lon * 4) / 4;
        const Outlook from(at);
        std::set<AreaIndex> byGrid;
        borders.areasIn(from.column(), from.row(), [&](const Borders::Met& met) {
            if (!file.area(met.area).isCoarse && (met.isWhole || borders.contains(met.area, from)))
                byGrid.insert(met.area);
        });
        std::set<AreaIndex> plainly;
        for (std::uint32_t area = 0; area < file.areaCount(); ++area)
            if (!pieces[area].empty() && !file.area(static_cast<AreaIndex>(area)).isCoarse &&
                isInside(static_cast<AreaIndex>(area), from))
                plainly.insert(static_cast<AreaIndex>(area));
        INFO(at.lat << ", " << at.lon);
        CHECK(byGrid == plainly);
        held += plainly.size();
    }
    CHECK(held > 500);
}
