#include "catch_compat.hpp"
#include "cli/program.h"
#include "core/exchange/csv.h"

#include <cmath>
#include <fstream>
#include <map>
#include <sstream>

using namespace discal;
using namespace discal::tests;

namespace {

using Row = std::map<std::string, std::string>;

std::vector<Row> rowsOf(const std::string& text) {
    exchange::CsvReader reader(text);
    std::vector<std::string> header;
    std::vector<std::string> fields;
    std::vector<Row> rows;
    REQUIRE(reader.next(header).value_or(false));
    while (reader.next(fields).value_or(false)) {
        REQUIRE(fields.size() == header.size());
        Row row;
        for (std::size_t i = 0; i < header.size(); ++i)
            row[header[i]] = fields[i];
        rows.push_back(row);
    }
    return rows;
}

std::string fileOf(const Desk& desk, const std::string& name, const std::string& text) {
    std::ofstream(desk.path(name), std::ios::binary) << text;
    return desk.path(name);
}

} // namespace

TEST_CASE("A position gets its place, for people and as JSON", "[cli]") {
    const Desk desk;
    const Ran said = desk.bare({"place", "43.5657", "-90.8780"});
    CHECK(said.exit == 0);
    CHECK(said.err.empty());
    CHECK(said.out.starts_with("1.3 km NE of Viroqua, Vernon County, Wisconsin\n"));
    CHECK(has(said.out, "Vernon County (55123)"));
    CHECK(has(said.out, "discal-2026.2"));
    const auto json = Desk::objects(desk.bare({"place", "43.5657", "-90.8780", "--json"}).out).front();
    CHECK(json.at("locality").as_string() == "1.3 km NE of Viroqua, Vernon County, Wisconsin");
    CHECK(json.at("state_code").as_string() == "US-WI");
    CHECK(json.at("county_certain").as_bool());
    CHECK(json.at("county_other").is_null());
    // Chapman and Wieczorek 2020: 0.0001 degree is 15 m at 30 degrees, 13 m at 60.
    CHECK(json.at("coordinate_precision_m").as_double() == Approx(14));
    for (const auto& words : std::vector<std::vector<std::string>>{{"place", "N 43 33.942 W 90 52.680"},
                                                                   {"place", "43,5657", "-90,8780"},
                                                                   {"place", "43.5657, -90.8780"},
                                                                   {"place", "W 90.8780", "N 43.5657"}}) {
        const Ran ran = desk.bare(words);
        INFO(ran.err);
        CHECK(ran.exit == 0);
        CHECK(ran.out.starts_with("1.3 km NE of Viroqua"));
    }
}

TEST_CASE("A position that is none is refused with the legal form", "[cli]") {
    const Desk desk;
    for (const auto& [words, says] : std::vector<std::pair<std::vector<std::string>, const char*>>{
             {{"place", "-90.8780", "43.5657"}, "other way round"},
             {{"place", "91", "0"}, "-90 to 90"},
             {{"place", "0", "181"}, "-180 to 180"},
             {{"place", "north", "west"}, "43° 33.426'"},
             {{"place", "43.5", "-90.8", "--uncertainty", "far"}, "metres"},
             {{"place", "43.5", "-90.8", "--uncertainty=-5"}, "metres"},
             {{"place", "43.5", "-90.8", "--pack", "nowhere.geojson"}, "nowhere.geojson"},
             {{"place", "--table", "nowhere.csv"}, "nowhere.csv"},
             {{"place", "--find", "zzzzqx"}, "No town"},
         }) {
        const Ran ran = desk.bare(words);
        INFO(ran.err);
        CHECK(ran.exit == 1);
        CHECK(ran.out.empty());
        CHECK(has(ran.err, says));
    }
    CHECK(desk.bare({"place"}).exit == 2);
    CHECK(desk.bare({"place", "1", "2", "--find", "x"}).exit == 2);
    CHECK(desk.bare({"flight"}).exit == 2);
    CHECK(desk.bare({"flight", "1", "2", "3"}).exit == 2);
}

TEST_CASE("A table of places keeps its rows and says which it refused", "[cli]") {
    const Desk desk;
    const std::string table = fileOf(desk, "in.csv",
                                     "id,lat,lon,uncertainty_m\r\n"
                                     "a,43.5657,-90.8780,10\r\n"
                                     "b,north,-90,10\r\n"
                                     "c,91,0,10\r\n"
                                     "d,,-90,10\r\n"
                                     "e,43.8,-91.25,30\r\n"
                                     "\"f, quoted\",36.0,-72.5,\r\n"
                                     "g,43.5657,-90.8780,wide\r\n"
                                     "h,-90.8780,43.5657,10\r\n"
                                     "i,43.6,-90.85,30000\r\n"
                                     "j,19.5949,-100.2610\r\n");
    const Ran ran = desk.bare({"place", "--table", table});
    CHECK(ran.exit == 1);
    const auto rows = rowsOf(ran.out);
    REQUIRE(rows.size() == 10);
    CHECK(ran.out.starts_with(
        "id,lat,lon,uncertainty_m,country,country_name,state_province,state_code,county,county_code,"
        "county_certain,county_other,nearest_town,distance_km,bearing,offshore,elevation_m,gazetteer,"
        "error\r\n"));
    CHECK(rows[0].at("country") == "US");
    CHECK(rows[0].at("country_name") == "United States");
    CHECK(rows[0].at("state_province") == "Wisconsin");
    CHECK(rows[0].at("state_code") == "US-WI");
    CHECK(rows[0].at("county") == "Vernon County");
    CHECK(rows[0].at("county_code") == "55123");
    CHECK(rows[0].at("county_certain") == "yes");
    CHECK(rows[0].at("county_other").empty());
    CHECK(rows[0].at("nearest_town") == "Viroqua");
    CHECK(std::stod(rows[0].at("distance_km")) == Approx(1.3).margin(0.05));
    CHECK(rows[0].at("bearing") == "NE");
    CHECK(rows[0].at("offshore") == "no");
    CHECK_FALSE(rows[0].at("elevation_m").empty());
    CHECK(rows[0].at("gazetteer") == "discal-2026.2");
    CHECK(rows[0].at("error").empty());
    for (const auto& [row, why] : std::vector<std::pair<int, const char*>>{{1, "expected degrees"},
                                                                           {2, "-90 to 90"},
                                                                           {3, "latitude is empty"},
                                                                           {6, "metres"},
                                                                           {7, "other way round"}}) {
        INFO(row);
        CHECK(has(rows[static_cast<std::size_t>(row)].at("error"), why));
        CHECK(rows[static_cast<std::size_t>(row)].at("country").empty());
        CHECK(has(ran.err, "Line " + std::to_string(row + 2) + ": "));
    }
    CHECK(rows[4].at("county_certain") == "no");
    CHECK(rows[4].at("county_other") == "Houston County, Minnesota");
    CHECK(rows[5].at("id") == "f, quoted");
    CHECK(rows[5].at("offshore") == "yes");
    CHECK(rows[5].at("country").empty());
    CHECK(rows[8].at("county_certain") == "no");
    CHECK(rows[9].at("county_certain") == "no");
    CHECK(rows[9].at("country") == "MX");
    CHECK(rows[9].at("error").empty());
    CHECK(std::count(ran.err.begin(), ran.err.end(), '\n') == 5);

    const auto objects = Desk::objects(desk.bare({"place", "--table", table, "--json"}).out);
    REQUIRE(objects.size() == 10);
    CHECK(objects[0].at("county").as_string() == "Vernon County");

    CHECK(has(desk.bare({"place", "--table", fileOf(desk, "none.csv", "id,lat\r\n1,2\r\n")}).err,
              "no column lon"));
    CHECK(desk.bare({"place", "--table", fileOf(desk, "empty.csv", "")}).exit == 1);
    CHECK(desk.bare({"place", "--table", fileOf(desk, "header.csv", "id,lat,lon\r\n")}).exit == 0);
    const Ran torn =
        desk.bare({"place", "--table", fileOf(desk, "torn.csv", "id,lat,lon\n1,43.5,-90.8\n\"2,43.5\n")});
    CHECK(torn.exit == 1);
    CHECK(has(torn.err, "Line 3"));
    CHECK(rowsOf(torn.out).size() == 1);
}

TEST_CASE("A pack of boundaries makes a county certain", "[cli]") {
    const Desk desk;
    const std::string pack =
        fileOf(desk, "pack.geojson",
               R"({"type":"FeatureCollection","features":[{"type":"Feature","properties":{"name":"Ocampo"},)"
               R"("geometry":{"type":"Polygon","coordinates":[[[-100.4,19.5],[-100.1,19.5],[-100.1,19.7],)"
               R"([-100.4,19.7],[-100.4,19.5]]]}}]})");
    const auto with = Desk::objects(
        desk.bare({"place", "19.60", "-100.26", "--pack", pack, "--uncertainty", "20", "--json"}).out);
    CHECK(with.front().at("county_by").as_string() == "place pack");
    CHECK(with.front().at("county").as_string() == "Ocampo");
    const auto without = Desk::objects(desk.bare({"place", "19.60", "-100.26", "--json"}).out);
    CHECK(without.front().at("county_by").as_string() == "nearest town");
    const Ran broken = desk.bare({"place", "1", "2", "--pack", fileOf(desk, "broken.geojson", "{")});
    CHECK(broken.exit == 1);
    CHECK(has(broken.err, "GeoJSON"));
}

TEST_CASE("A town is found by its first letters", "[cli]") {
    const Desk desk;
    const Ran found = desk.bare({"place", "--find", "viro", "--near", "43.56,-90.88", "--most", "2"});
    CHECK(found.exit == 0);
    CHECK(found.out.starts_with("Viroqua, Vernon County, Wisconsin, United States"));
    const auto json =
        Desk::objects(desk.bare({"place", "--find", "montreal", "--json", "--most", "1"}).out).front();
    CHECK(json.at("town").as_string() == "Montréal");
    CHECK(json.at("country").as_string() == "CA");
    CHECK(json.at("uncertainty_m").as_double() >= 1000);
    CHECK(desk.bare({"place", "--find", "viro", "--near", "somewhere"}).exit == 1);
}

TEST_CASE("A gazetteer that is damaged or missing is refused, and says so", "[cli]") {
    const Desk desk;
    std::string bytes = readFile(sourceFile("assets/gazetteer/places.gazetteer"));
    const auto run = [&](const std::string& file) {
        return desk.bare({"place", "43.5", "-90.8"}, {"DISCAL_GAZETTEER=" + file});
    };
    CHECK(run(fileOf(desk, "whole", bytes)).exit == 0);
    const Ran cut = run(fileOf(desk, "cut", bytes.substr(0, bytes.size() / 2)));
    CHECK(cut.exit == 1);
    CHECK(has(cut.err, "the gazetteer"));
    bytes[bytes.size() / 2] = static_cast<char>(bytes[bytes.size() / 2] ^ 4);
    const Ran changed = run(fileOf(desk, "changed", bytes));
    CHECK(changed.exit == 1);
    CHECK(has(changed.err, "checksum"));
    bytes[8] = 9;
    CHECK(has(run(fileOf(desk, "newer", bytes)).err, "A later Discal made the gazetteer (its form 9)"));
    CHECK(run(desk.path("missing")).exit == 1);
    CHECK(run(fileOf(desk, "other", "hello")).exit == 1);
}

TEST_CASE("A flight has the published distance, alone and in a table", "[cli]") {
    const Desk desk;
    // GeographicLib documentation: JFK to London Heathrow.
    const auto one =
        Desk::objects(desk.bare({"flight", "40.6", "-73.8", "51.6", "-0.5", "--json"}).out).front();
    CHECK(std::abs(one.at("distance_m").as_double() - 5'551'759.400) < 0.001);
    CHECK(std::abs(one.at("azimuth1").as_double() - 51.19888) < 0.00001);
    // Davis 2016: Kings County, Nova Scotia to El Rosario, 4,330 km.
    CHECK(has(desk.bare({"flight", "45.07", "-64.57", "19.5949", "-100.2610"}).out, "at least 4330 km"));
    CHECK(desk.bare({"flight", "91", "0", "0", "0"}).exit == 1);

    const auto folder = reference("standards/geodesy");
    if (!folder)
        return;
    std::istringstream lines(readFile(*folder / "GeodTest_published_open.dat"));
    std::string table = "lat1,lon1,lat2,lon2\r\n";
    std::vector<std::array<double, 4>> expected;
    for (std::string line; std::getline(lines, line);) {
        std::istringstream cells(line);
        std::array<std::string, 9> c;
        for (auto& cell : c)
            cells >> cell;
        table += c[0] + "," + c[1] + "," + c[3] + "," + c[4] + "\r\n";
        expected.push_back({std::stod(c[6]), std::stod(c[2]), std::stod(c[5]), std::stod(c[8])});
    }
    const Ran ran = desk.bare({"flight", "--table", fileOf(desk, "flights.csv", table)});
    INFO(ran.err);
    const auto rows = rowsOf(ran.out);
    REQUIRE(rows.size() == 50);
    for (std::size_t i = 0; i < rows.size(); ++i) {
        INFO(i);
        CHECK(rows[i].at("error").empty());
        CHECK(std::abs(std::stod(rows[i].at("distance_m")) - expected[i][0]) < 0.001);
        // Next to the antipode (reduced length below a metre) a micrometre turns the azimuth by more than
        // that.
        if (std::abs(expected[i][3]) < 1)
            continue;
        CHECK(std::abs(std::remainder(std::stod(rows[i].at("azimuth1")) - expected[i][1], 360)) < 1e-6);
        CHECK(std::abs(std::remainder(std::stod(rows[i].at("azimuth2")) - expected[i][2], 360)) < 1e-6);
    }
    CHECK(ran.exit == 0);
}

TEST_CASE("What a verb writes about a butterfly has the words of its place, and where they are from", "[cli]") {
    const Desk desk;
    (void)desk.done({"station", "site", "Ridge meadow", "--position=43.5657,-90.8780,15", "--radius", "150"});
    (void)desk.done({"stock", "add", "RKD 001", "10"});
    (void)desk.done({"note", "--sex", "male", "--wild", "--at-position=43.5657,-90.8780,15"});
    const auto placeOf = [&desk](const std::string& kind, const char* member) {
        boost::json::object place;
        for (const auto& line : Desk::objects(desk.done({"journal", "list", "--raw"})))
            if (line.at("kind").as_string() == kind)
                place = line.at("body").at(member).as_object();
        return place;
    };
    // Inside the site's radius, though nobody chose it. Viroqua is the seat of Vernon County, Wisconsin.
    const std::string inSite = "Ridge meadow, 1.3 km NE of Viroqua, Vernon County, Wisconsin";
    const auto taken = placeOf("butterfly.noted", "taken");
    CHECK(taken.at("words").as_string() == inSite);
    CHECK(taken.at("gazetteer").as_string() == "discal-2026.2");
    CHECK(taken.at("position").at("lat_e7").as_int64() == 435'657'000);
    // By the site alone.
    CHECK(has(desk.done({"release", "--site", "Ridge meadow"}), "RKD 001 released at " + inSite + "."));
    const auto released = placeOf("butterfly.released", "place");
    CHECK(released.at("words").as_string() == inSite);
    CHECK_FALSE(released.contains("position"));
    // Elsewhere than the site that was chosen.
    (void)desk.done({"note", "--sex", "male", "--wild", "--at-position=43.5569,-90.8887,15"});
    CHECK(placeOf("butterfly.noted", "taken").at("words").as_string() == "Viroqua, Vernon County, Wisconsin");
    // Also when it is said anew.
    (void)desk.done({"correct", "RKD 001", "released", "--at-position=43.5569,-90.8887,15"});
    CHECK(has(desk.done({"journal", "show", "RKD 001"}), "Viroqua, Vernon County, Wisconsin, 43.5569, -90.8887"));
}

TEST_CASE("Without a sound gazetteer a butterfly is written all the same, and the lack is told", "[cli]") {
    const Desk desk;
    (void)desk.done({"stock", "add", "RKD 001", "10"});
    const Ran ran = desk.bare({"note", "--sex", "male", "--wild", "--at-position=43.5657,-90.8780,15", "--journal",
                               desk.journal()},
                              {"DISCAL_GAZETTEER=/no/such/file"});
    CHECK(ran.exit == 0);
    CHECK(has(ran.out, "RKD 001 noted"));
    CHECK(has(ran.err, "Places are kept without words"));
    CHECK_FALSE(has(desk.done({"journal", "list", "--raw"}), "\"words\""));
}
