#include "core/time/instant.h"

#include "catch_compat.hpp"
#include "reference.h"

#include <boost/json.hpp>
#include <rapidcheck.h>
#include <set>
#include <sstream>
#include <string>
#include <vector>

using namespace discal;
using namespace std::chrono_literals;
using time::formatUtc;
using time::Instant;
using time::parseUtc;

namespace {

Instant at(std::int64_t ms) {
    return Instant(std::chrono::milliseconds(ms));
}

std::vector<std::string> cells(const std::string& row) {
    // The only quotes in the file are around the last column, the note.
    std::vector<std::string> out;
    std::stringstream in(row);
    for (std::string cell; std::getline(in, cell, ',');)
        out.push_back(cell);
    return out;
}

std::chrono::minutes offsetOf(const std::string& s) {
    const auto minutes = std::chrono::minutes(60 * std::stoi(s.substr(1, 2)) + std::stoi(s.substr(4, 2)));
    return s[0] == '-' ? -minutes : minutes;
}

} // namespace

// JSON-Schema-Test-Suite at 44401e0, optional/format/date-time: strings that are or aren't RFC 3339, 5.6.
TEST_CASE("Times are read and refused as the JSON Schema suite has it, but for leap seconds", "[time]") {
    const auto path = tests::reference("standards/datetime/jsonschema_date-time.json");
    if (!path)
        return;
    // RFC 3339 allows a true leap second. We differ: POSIX time has no place for it, and no line of ours
    // carries one.
    const std::set<std::string> weDiffer{"1998-12-31T23:59:60Z", "1998-12-31T15:59:60.123-08:00"};
    int strings = 0;
    std::size_t differing = 0;
    const auto file = boost::json::parse(tests::readFile(*path));
    for (const auto& group : file.as_array())
        for (const auto& test : group.at("tests").as_array()) {
            if (!test.at("data").is_string())
                continue;
            ++strings;
            const std::string data(test.at("data").as_string());
            const bool differs = weDiffer.count(data) > 0;
            differing += differs ? 1U : 0U;
            INFO(data << ": " << std::string_view(test.at("description").as_string()));
            const auto read = parseUtc(data);
            CHECK(read.has_value() == (test.at("valid").as_bool() && !differs));
            if (!read)
                CHECK(read.error().code == Code::NotATime);
        }
    CHECK(strings >= 20);
    CHECK(differing == weDiffer.size());
}

// RFC 3339, section 5.8, examples: "1985-04-12T23:20:50.52Z" is 20 minutes and 50.52 seconds after the 23rd
// hour of April 12th, 1985; "1996-12-19T16:39:57-08:00" is the same as "1996-12-20T00:39:57Z";
// "1937-01-01T12:00:27.87+00:20" is noon of January 1st, 1937, Netherlands time.
TEST_CASE("The examples of RFC 3339 are the instants that it says", "[time]") {
    CHECK(parseUtc("1985-04-12T23:20:50.52Z").value() ==
          std::chrono::sys_days(1985y / 4 / 12) + 23h + 20min + 50520ms);
    CHECK(parseUtc("1996-12-19T16:39:57-08:00").value() == parseUtc("1996-12-20T00:39:57Z").value());
    CHECK(formatUtc(parseUtc("1937-01-01T12:00:27.87+00:20").value()) == "1937-01-01T11:40:27.870Z");
    CHECK_FALSE(parseUtc("1990-12-31T23:59:60Z")); // leap seconds: see above
    CHECK_FALSE(parseUtc("1990-12-31T15:59:60-08:00"));
}

// POSIX.1-2017, 4.16 "Seconds Since the Epoch"; RFC 9562, A.6 for 1645557742000 = 2022-02-22T19:22:22Z.
TEST_CASE("Instants are milliseconds since the epoch", "[time]") {
    CHECK(formatUtc(at(0)) == "1970-01-01T00:00:00.000Z");
    CHECK(formatUtc(at(-1)) == "1969-12-31T23:59:59.999Z");
    CHECK(formatUtc(at(1645557742000)) == "2022-02-22T19:22:22.000Z");
    CHECK(parseUtc("2022-02-22T14:22:22-05:00").value() == at(1645557742000));
    CHECK(parseUtc("2001-09-09T01:46:40Z").value() == at(1'000'000'000'000)); // a billion seconds
}

TEST_CASE("Further digits of a fraction are dropped, not rounded", "[time]") {
    CHECK(parseUtc("2026-08-30T10:00:00.1Z").value() - parseUtc("2026-08-30T10:00:00Z").value() == 100ms);
    CHECK(parseUtc("2026-08-30T10:00:00.0019Z").value() - parseUtc("2026-08-30T10:00:00Z").value() == 1ms);
    CHECK(formatUtc(parseUtc("2026-12-31T23:59:59.99999999999999999999Z").value()) ==
          "2026-12-31T23:59:59.999Z");
    // Before 1970 too: a fraction counts forward from its second.
    CHECK(formatUtc(parseUtc("1969-12-31T23:59:58.5Z").value()) == "1969-12-31T23:59:58.500Z");
}

// The Gregorian rule: every fourth year, not the hundredth, but the four hundredth.
TEST_CASE("A day that the month does not have is refused", "[time]") {
    for (const char* date :
         {"2024-02-29", "2000-02-29", "2026-01-31", "2026-04-30", "0000-02-29", "9999-12-31"})
        CHECK(parseUtc(std::string(date) + "T00:00:00Z"));
    for (const char* date :
         {"2023-02-29", "1900-02-29", "2026-04-31", "2026-00-10", "2026-13-10", "2026-01-00", "2026-01-32"})
        CHECK_FALSE(parseUtc(std::string(date) + "T00:00:00Z"));
}

TEST_CASE("Other spellings of a time are refused", "[time]") {
    for (const char* s :
         {"", "2026", "2026-08-30", "2026-08-30T10:00Z", "2026-08-30T10:00:00", "2026-08-30 10:00:00Z",
          "2026-08-30T10:00:00.Z", "2026-08-30T10:00:00,5Z", " 2026-08-30T10:00:00Z", "2026-08-30T10:00:00Z ",
          "2026-08-30T10:00:00ZZ", "2026-08-30T10:00:00+0200", "2026-08-30T10:00:00+2:00",
          "2026-08-30T10:00:00+24:00", "2026-08-30T10:00:00+02:0", "-026-08-30T10:00:00Z",
          "2026-08-30T-1:00:00Z", "20260830T100000Z"})
        CHECK_FALSE(parseUtc(s));
    CHECK_FALSE(parseUtc(std::string_view("2026-08-30T10:00:00Z\0", 21)));
}

TEST_CASE("Years outside 0000 to 9999 are written as the nearest of the two", "[time]") {
    CHECK(formatUtc(parseUtc("0000-01-01T00:00:00+23:59").value()) == "0000-01-01T00:00:00.000Z");
    CHECK(formatUtc(parseUtc("9999-12-31T23:59:59.999-23:59").value()) == "9999-12-31T23:59:59.999Z");
    CHECK(formatUtc(Instant::max()) == "9999-12-31T23:59:59.999Z");
    CHECK(formatUtc(Instant::min()) == "0000-01-01T00:00:00.000Z");
}

// standards/tz/local_to_utc_cases.csv, computed from tzdata 2025b: Mexico after 2022, Lord Howe's half hour,
// Apia's missing day, year-end roll-over. A gap has no local time of its own; an overlap has two instants.
TEST_CASE("Local times with their offset are the UTC times of the tz table, both ways", "[time]") {
    const auto path = tests::reference("standards/tz/local_to_utc_cases.csv");
    if (!path)
        return;
    std::stringstream file(tests::readFile(*path));
    std::string row;
    std::getline(file, row);
    REQUIRE(row == "zone,local,kind,utc_fold0,offset_fold0,utc_fold1,offset_fold1,note");
    int unique = 0;
    int ambiguous = 0;
    int nonexistent = 0;
    while (std::getline(file, row)) {
        if (!row.empty() && row.back() == '\r')
            row.pop_back();
        if (row.empty())
            continue;
        const auto cell = cells(row);
        INFO(row);
        REQUIRE(cell.size() >= 8);
        const std::string& local = cell[1];
        const std::string& kind = cell[2];
        unique += kind == "unique" ? 1 : 0;
        ambiguous += kind == "ambiguous" ? 1 : 0;
        nonexistent += kind == "nonexistent" ? 1 : 0;
        for (const std::size_t fold : {3U, 5U}) {
            const std::string& utc = cell[fold];
            const std::string& offset = cell[fold + 1];
            const auto wanted = parseUtc(utc);
            REQUIRE(wanted);
            const auto read = parseUtc(local + offset);
            REQUIRE(read);
            CHECK(*read == *wanted);
            CHECK(formatUtc(*read) == utc.substr(0, 19) + ".000Z");
            CHECK(parseUtc(formatUtc(*read)).value() == *read);
            if (kind != "nonexistent") {
                CHECK(time::localDate(*read, offsetOf(offset)) == local.substr(0, 10));
                CHECK(time::localTime(*read, offsetOf(offset)) == local.substr(11, 5));
            }
        }
        CHECK((cell[3] == cell[5]) == (kind == "unique"));
    }
    CHECK(unique == 127);
    CHECK(ambiguous == 5);
    CHECK(nonexistent == 6);
}

// A regression test: any instant of the four-digit years is written so that it is read back.
TEST_CASE("Any time between the years 0000 and 9999 comes back as written", "[time]") {
    const bool held = rc::check([] {
        // 0000-01-01 to 9999-12-31 in milliseconds
        const auto ms = *rc::gen::inRange<std::int64_t>(-62'167'219'200'000, 253'402'300'800'000);
        const std::string text = formatUtc(at(ms));
        RC_ASSERT(text.size() == 24U);
        RC_ASSERT(parseUtc(text).value() == at(ms));
    });
    CHECK(held);
}
