#include "core/exchange/day_table.h"

#include "catch_compat.hpp"

using namespace discal;
using exchange::quoted;

// RFC 4180, section 2: the fields of its examples, written.
TEST_CASE("Fields are quoted as the examples of RFC 4180", "[exchange]") {
    CHECK(quoted("aaa") == "aaa");               // rule 5: may or may not be quoted
    CHECK(quoted("b\r\nbb") == "\"b\r\nbb\"");   // rule 6
    CHECK(quoted("b\"bb") == "\"b\"\"bb\"");     // rule 7
    CHECK(quoted("a,b") == "\"a,b\"");           // rule 6
    CHECK(quoted("") == "");
    CHECK(quoted(" a ") == " a ");               // rule 4: spaces are part of a field
    CHECK(quoted("\n") == "\"\n\"");
}

TEST_CASE("A day's table has a header, a line a butterfly, and CR LF after each", "[exchange]") {
    const std::string header =
        "code,sex,origin,date,time,offset,fate,site,lat,lon,uncertainty_m,tagger,recorder,note\r\n";
    CHECK(exchange::dayTable({}) == header);
    exchange::DayRow row;
    row.code = "RKD 001";
    row.sex = "female";
    row.date = "2026-09-05";
    row.time = "23:58";
    row.offset = "-05:00";
    row.fate = "released";
    row.site = "Ridge, the \"meadow\"";
    row.lat = "43.5571";
    row.lon = "-90.8893";
    row.uncertainty = "6";
    row.note = "two\nlines";
    CHECK(exchange::dayTable({row}) == header + "RKD 001,female,,2026-09-05,23:58,-05:00,released,"
                                                "\"Ridge, the \"\"meadow\"\"\",43.5571,-90.8893,6,,,\"two\nlines\"\r\n");
}

TEST_CASE("Offsets and decimals are written whole", "[exchange]") {
    CHECK(exchange::offsetText(0) == "+00:00");
    CHECK(exchange::offsetText(-300) == "-05:00");
    CHECK(exchange::offsetText(345) == "+05:45");
    CHECK(exchange::offsetText(-30) == "-00:30");
    CHECK(exchange::decimalText(435'571'000, 7) == "43.5571");
    CHECK(exchange::decimalText(-5, 7) == "-0.0000005");
    CHECK(exchange::decimalText(0, 7) == "0");
    CHECK(exchange::decimalText(6000, 3) == "6");
}
