#include "catch_compat.hpp"
#include "desk.h"
#include "services/sample/decimal.h"
#include "services/sample/replay_positions.h"

using namespace discal;
using namespace discal::tests;
using namespace discal::services::sample;
using std::chrono::minutes;
using std::chrono::seconds;

TEST_CASE("Decimals are read exactly, and rounded half away from zero", "[sample][positions]") {
    CHECK(decimal("43.5571", 7) == 435'571'000);
    CHECK(decimal("-90.8893", 7) == -908'893'000);
    CHECK(decimal("-0.00000005", 7) == -1);
    CHECK(decimal("0.00000004", 7) == 0);
    CHECK(decimal("18", 3) == 18'000);
    CHECK(decimal("7", 0) == 7);
    CHECK(decimal("2.5", 0) == 3);
    for (const char* wrong :
         {"", "-", ".5", "5.", "1e3", "+1", " 1", "1 ", "1.2.3", "0x1", "nan", "1,5", "1234567890123"}) {
        INFO(wrong);
        CHECK_FALSE(decimal(wrong, 3));
    }
}

TEST_CASE("A track of sentences gives each fix at its own time", "[sample][positions]") {
    // Made by sample-sessions/make-track.py.
    const auto track = need(trackFromNmea(readFile(sampleSession("meadow-morning") / "track.nmea")));
    // 140 minutes, one fix in five seconds, none for the nine minutes under the trees.
    CHECK(track.size() == (140 - 9) * 12);
    CHECK(time::formatUtc(track.front().utc) == "2026-09-05T13:22:00.000Z");
    for (std::size_t i = 1; i < track.size(); ++i)
        REQUIRE(track[i - 1].utc < track[i].utc);
    CHECK(std::abs(track.front().latE7 - 435'567'200) < 500);
    CHECK(std::abs(track.front().lonE7 + 908'880'400) < 500);
    const auto none = trackFromNmea("not a log\n");
    REQUIRE_FALSE(none);
    CHECK(none.error().code == Code::BadInput);
}

TEST_CASE("A track passes midnight UTC", "[sample][positions]") {
    const auto framed = [](const std::string& body) {
        unsigned sum = 0;
        for (const char c : body)
            sum ^= static_cast<unsigned char>(c);
        constexpr std::string_view kHex = "0123456789ABCDEF";
        return "$" + body + "*" + kHex[sum >> 4U] + kHex[sum & 15U] + "\r\n";
    };
    std::string log;
    for (const auto& [clock, date] : std::vector<std::pair<std::string, std::string>>{
             {"235955", "050926"}, {"000000", "060926"}, {"000005", "060926"}})
        log += framed("GPGGA," + clock + ",4333.42600,N,09053.35800,W,1,08,1.0,381.0,M,-33.4,M,,") +
               framed("GPRMC," + clock + ",A,4333.42600,N,09053.35800,W,,," + date + ",,,A");
    const auto track = need(trackFromNmea(log));
    REQUIRE(track.size() == 3);
    CHECK(time::formatUtc(track[2].utc) == "2026-09-06T00:00:05.000Z");
    CHECK(track[2].latE7 == 435'571'000);
    CHECK(track[2].lonE7 == -908'893'000);
}

TEST_CASE("A table of fixes is read strictly", "[sample][positions]") {
    const std::string header = "time,lat,lon,accuracy_m\n";
    const auto track = need(trackFromCsv(header + "2026-09-05T08:30:00-05:00,43.5571,-90.8893,4.8\r\n" +
                                         "2026-09-05T13:30:30Z,43.5572,-90.8894,5\n"));
    REQUIRE(track.size() == 2);
    CHECK(track[0].accuracyMm == 4'800);
    CHECK(track[1].latE7 == 435'572'000);
    CHECK(need(trackFromCsv(header)).empty());
    const auto refused = [&](const std::string& text) {
        const auto done = trackFromCsv(text);
        INFO(text);
        REQUIRE_FALSE(done);
        CHECK(done.error().code == Code::BadInput);
        return done.error().number;
    };
    CHECK(refused("") == 0);
    CHECK(refused("time,lat,lon\n") == 1);
    CHECK(refused(header + "08:30,43.5571,-90.8893,4.8\n") == 2);
    CHECK(refused(header + "2026-09-05T13:30:30Z,143.5572,-90.8894,5\n") == 2);
    CHECK(refused(header + "2026-09-05T13:30:30Z,43.5572,-990.8894,5\n") == 2);
    CHECK(refused(header + "2026-09-05T13:30:30Z,43.5572,-90.8894,0\n") == 2);
    CHECK(refused(header + "2026-09-05T13:30:30Z,43.5572,-90.8894\n") == 2);
    CHECK(refused(header + "2026-09-05T13:30:30Z,43.5572,-90.8894,5,6\n") == 2);
    CHECK(refused(header +
                  "2026-09-05T13:30:30Z,43.5572,-90.8894,5\n\n2026-09-05T13:30:30Z,43.5572,-90.8894,5\n") ==
          3);
    CHECK(refused(header +
                  "2026-09-05T13:30:30Z,43.5572,-90.8894,5\n2026-09-05T13:30:29Z,43.5572,-90.8894,5\n") == 3);
}

TEST_CASE("A fix is heard when its time has come, in the boot that heard it", "[sample][positions]") {
    const auto start = need(time::parseUtc("2026-09-05T13:30:00Z"));
    ReplayClock clock("A", start, std::chrono::hours(-5), {});
    Track track;
    for (int i = 0; i < 10; ++i)
        track.push_back({start + minutes(i), 0, 435'571'000, -908'893'000, 5'000});
    ReplayPositions positions(clock, track);
    CHECK(positions.fixesUntil(clock.now().upMs).size() == 1);
    clock.setTrueTime(start + minutes(5));
    clock.setSkew(std::chrono::hours(-30)); // the wall clock has no say
    const auto now = clock.now();
    const auto heard = positions.fixesUntil(now.upMs);
    REQUIRE(heard.size() == 3); // of the last two minutes
    CHECK(heard.back().upMs == now.upMs);
    CHECK(heard.front().upMs == now.upMs - 120'000);
    clock.setTrueTime(start + minutes(6) + seconds(30));
    clock.reboot();
    CHECK(positions.fixesUntil(clock.now().upMs).empty());
    clock.setTrueTime(start + minutes(7) + seconds(10));
    const auto after = positions.fixesUntil(clock.now().upMs);
    REQUIRE(after.size() == 1);
    CHECK(after[0].upMs == 30'000);
}
