// Five logs of real receivers, replayed. Source: ntpsec/gpsd at 46977fa, BSD-2-Clause; the expected numbers
// were counted by another program (standards/README.md, nmea).

#include "core/place/averaging.h"
#include "core/place/nmea.h"

#include "catch_compat.hpp"
#include "reference.h"

#include <boost/json.hpp>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <map>
#include <sstream>
#include <string>
#include <vector>

using namespace discal;
using namespace discal::place;
using Verdict = NmeaReader::Verdict;

namespace {

struct Replay {
    std::map<std::string, std::int64_t> byType;
    std::map<std::string, std::int64_t> ggaByQuality;
    std::int64_t rmcActive{0};
    std::int64_t rmcVoid{0};
    std::int64_t seconds{0}; // each of these receivers sends one GGA a second
    std::vector<Fix> fixes;
    NmeaReader reader;
};

std::string slurp(const std::filesystem::path& path) {
    std::ifstream in(path, std::ios::binary);
    std::ostringstream out;
    out << in.rdbuf();
    return out.str();
}

// The phone's uptime is made of the count of GGA sentences: 1,000 ms each.
Replay replay(const std::filesystem::path& path) {
    Replay r;
    std::istringstream in(slurp(path));
    for (std::string line; std::getline(in, line);) {
        if (const auto s = readNmeaSentence(line)) {
            ++r.byType[std::string(s->address)];
            if (s->type() == "GGA") {
                ++r.ggaByQuality[std::string(s->field(6))];
                ++r.seconds;
            }
            if (s->type() == "RMC")
                ++(s->field(2) == "A" ? r.rmcActive : r.rmcVoid);
        }
        if (const auto heard = r.reader.feed(line, r.seconds * 1000); heard.fix)
            r.fixes.push_back(*heard.fix);
    }
    if (const auto last = r.reader.flush())
        r.fixes.push_back(*last);
    return r;
}

std::optional<Replay> replayOf(const std::string& log) {
    const auto path = tests::reference("standards/nmea/" + log);
    if (!path)
        return std::nullopt;
    return replay(*path);
}

// "hhmmss.s..." as milliseconds of the day.
std::int64_t millisOfDay(const std::string& s) {
    const auto hms = std::stoll(s.substr(0, 6));
    const auto millis = std::llround(std::stod("0" + s.substr(6)) * 1000.0);
    return ((hms / 10'000 * 60 + hms / 100 % 100) * 60 + hms % 100) * 1000 + millis;
}

void checkFix(const Fix& fix, const boost::json::object& expected) {
    const auto day = std::chrono::floor<std::chrono::days>(fix.utc);
    CHECK((fix.utc - day).count() == millisOfDay(std::string(expected.at("utc").as_string())));
    // Printed to seven decimals, so the very number.
    CHECK(fix.latE7 == std::llround(expected.at("lat").to_number<double>() * 1e7));
    CHECK(fix.lonE7 == std::llround(expected.at("lon").to_number<double>() * 1e7));
    const double hdop = std::stod(std::string(expected.at("hdop").as_string()));
    CHECK(std::abs(static_cast<double>(fix.accuracyMm) - hdop * static_cast<double>(kRangeErrorMm)) <= 1.0);
}

double metresBetween(std::int32_t latE7, std::int32_t lonE7, const Fix& fix) {
    constexpr double kMetresPerE7 = 0.0111319;
    const double north = (latE7 - fix.latE7) * kMetresPerE7;
    const double east = (lonE7 - fix.lonE7) * kMetresPerE7 * std::cos(latE7 / 1e7 * std::acos(-1.0) / 180);
    return std::hypot(north, east);
}

} // namespace

TEST_CASE("Every receiver log gives the counts and fixes that were counted elsewhere", "[place]") {
    const auto path = tests::reference("standards/nmea/expected.json");
    if (!path)
        return;
    const auto expected = boost::json::parse(slurp(*path)).as_object();
    CHECK(expected.size() == 5);
    for (const auto& [key, value] : expected) {
        const std::string log(key);
        INFO(log);
        const boost::json::object& e = value.as_object();
        const auto number = [&](const char* name) { return e.at(name).to_number<std::int64_t>(); };
        const auto r = replayOf(log);
        REQUIRE(r);
        const NmeaReader::Tally& tally = r->reader.tally();

        CHECK(tally.count(Verdict::ChecksumWrong) == number("checksum_bad"));
        CHECK(tally.count(Verdict::ChecksumMissing) == number("checksum_missing"));
        CHECK(tally.count(Verdict::Malformed) == 0);
        std::int64_t whole = 0;
        for (const Verdict v : {Verdict::Understood, Verdict::Skipped, Verdict::NoFix, Verdict::NotMeasured,
                                Verdict::Simulated, Verdict::Malformed})
            whole += tally.count(v);
        CHECK(whole == number("checksum_ok"));
        CHECK(whole + tally.count(Verdict::ChecksumWrong) == number("sentences"));

        // The table counts a sentence with a wrong checksum under its type, if at all; ours are never read.
        std::int64_t differing = 0;
        for (const auto& [type, count] : e.at("by_type").as_object())
            differing += std::abs(count.to_number<std::int64_t>() - r->byType.at(std::string(type)));
        CHECK(differing <= number("checksum_bad"));

        std::map<std::string, std::int64_t> qualities;
        for (const auto& run : e.at("gga_quality_runs").as_array())
            qualities[std::string(run.at(0).as_string())] += run.at(1).to_number<std::int64_t>();
        CHECK(r->ggaByQuality == qualities);
        CHECK(r->rmcActive == number("rmc_active"));
        CHECK(r->rmcVoid == number("rmc_void"));

        CHECK(static_cast<std::int64_t>(r->fixes.size()) == number("usable_fixes"));
        CHECK(tally.fixes == number("usable_fixes"));
        CHECK(tally.undated + tally.denied + tally.repeated == 0);
        if (!r->fixes.empty() && e.contains("first_fix")) {
            checkFix(r->fixes.front(), e.at("first_fix").as_object());
            checkFix(r->fixes.back(), e.at("last_fix").as_object());
        }
        for (const Fix& fix : r->fixes)
            CHECK((isLegal(fix.latE7, fix.lonE7) && fix.accuracyMm > 0));
        // By arrival, not by UTC: telit-he910.nmea sets its clock back by 0.3 s after its first fix.
        CHECK(std::is_sorted(r->fixes.begin(), r->fixes.end(),
                             [](const Fix& a, const Fix& b) { return a.upMs < b.upMs; }));
    }
}

TEST_CASE("Fixes carry the date that the receiver gave", "[place]") {
    // From the RMC sentences of each log, by eye: ddmmyy. (The header of com-1289.nmea says 2007-12-10: it
    // read "121007" the American way.)
    const std::map<std::string, std::string> dates{{"haicom-305N.nmea", "2007-04-08"},
                                                   {"quectel.nmea", "2020-10-07"},
                                                   {"telit-he910.nmea", "2019-03-12"},
                                                   {"com-1289.nmea", "2007-10-12"}};
    for (const auto& [log, date] : dates) {
        const auto r = replayOf(log);
        if (!r)
            return;
        INFO(log);
        for (const Fix& fix : r->fixes)
            CHECK(time::localDate(fix.utc, std::chrono::minutes(0)) == date);
    }
}

TEST_CASE("A receiver in simulator mode is counted and never gives a position", "[place]") {
    const auto r = replayOf("GPSmap-76S.nmea");
    if (!r)
        return;
    CHECK(r->fixes.empty());
    CHECK(r->reader.tally().count(Verdict::Simulated) == 24); // 12 GGA of quality 8, 12 RMC in mode S
    CHECK_FALSE(average(r->fixes, r->seconds * 1000));
}

TEST_CASE("Eight seconds without a fix age the position and don't renew it", "[place]") {
    // quectel.nmea: 18 s with a fix, 8 s without, 16 s with one.
    const auto r = replayOf("quectel.nmea");
    if (!r)
        return;
    REQUIRE(r->fixes.size() == 34);
    CHECK(r->fixes[17].upMs == 18'000);
    CHECK(r->fixes[18].upMs == 27'000);
    for (std::int64_t second = 18; second <= 26; ++second) {
        const auto p = average(r->fixes, second * 1000);
        REQUIRE(p);
        CHECK(p->ageMs == (second - 18) * 1000);
        CHECK(p->receiverUtc == r->fixes[17].utc);
        CHECK(p->fixCount <= 18);
    }
    CHECK(average(r->fixes, 27'000)->ageMs == 0);
    // Two minutes after the last fix nothing is left of it.
    CHECK(average(r->fixes, 42'000 + 120'000));
    CHECK_FALSE(average(r->fixes, 42'000 + 120'001));
}

TEST_CASE("A cold start has no position until its first fix", "[place]") {
    // telit-he910.nmea: 37 s without a fix, then 187 s standing still.
    const auto r = replayOf("telit-he910.nmea");
    if (!r)
        return;
    REQUIRE(r->fixes.size() == 187);
    for (std::int64_t second = 0; second <= 37; ++second)
        CHECK_FALSE(average(r->fixes, second * 1000));
    CHECK(average(r->fixes, 38'000)->fixCount == 1);
}

TEST_CASE("Standing still, the average lies within the spread of the fixes and beside its neighbours",
          "[place]") {
    const auto r = replayOf("telit-he910.nmea");
    if (!r)
        return;
    const auto byLat = [](const Fix& a, const Fix& b) { return a.latE7 < b.latE7; };
    const auto byLon = [](const Fix& a, const Fix& b) { return a.lonE7 < b.lonE7; };
    const auto [south, north] = std::minmax_element(r->fixes.begin(), r->fixes.end(), byLat);
    const auto [west, east] = std::minmax_element(r->fixes.begin(), r->fixes.end(), byLon);
    for (std::int64_t second = 38; second <= r->seconds; ++second) {
        const auto p = average(r->fixes, second * 1000);
        REQUIRE(p);
        CHECK((p->latE7 >= south->latE7 && p->latE7 <= north->latE7));
        CHECK((p->lonE7 >= west->lonE7 && p->lonE7 <= east->lonE7));
    }
    const auto p = average(r->fixes, r->seconds * 1000);
    CHECK(p->fixCount == 121); // two minutes at one a second, both ends included
    const auto best = std::min_element(r->fixes.begin(), r->fixes.end(), [](const Fix& a, const Fix& b) {
        return a.accuracyMm < b.accuracyMm;
    });
    CHECK(p->accuracyMm >= best->accuracyMm);
    CHECK(p->uncertaintyMm == 2 * p->accuracyMm);
}

TEST_CASE("On a short walk the position stays within its uncertainty of the newest fix", "[place]") {
    // haicom-305N.nmea: 5 m west, 10 m south and back, at walking pace.
    const auto r = replayOf("haicom-305N.nmea");
    if (!r)
        return;
    for (const Fix& fix : r->fixes) {
        const auto p = average(r->fixes, fix.upMs);
        REQUIRE(p);
        CHECK(p->ageMs == 0);
        CHECK(metresBetween(p->latE7, p->lonE7, fix) <= static_cast<double>(p->uncertaintyMm) / 1000.0);
    }
}
