#include "core/place/nmea.h"

#include "catch_compat.hpp"
#include "sentences.h"

#include <limits>
#include <string>
#include <vector>

using namespace discal;
using namespace discal::place;
using tests::sentence;
using Verdict = NmeaReader::Verdict;

namespace {

std::string gga(const std::string& time, const std::string& quality = "1", const std::string& hdop = "1.1",
                const std::string& where = "4806.3731,N,00138.6217,W") {
    return sentence("GPGGA," + time + "," + where + "," + quality + ",10," + hdop + ",42.2,M,48.5,M,,");
}

std::string rmc(const std::string& time, const std::string& date, const std::string& status = "A",
                const std::string& mode = "A") {
    return sentence("GPRMC," + time + "," + status + ",4806.3731,N,00138.6217,W,0.00,266.5," + date +
                    ",2.6,W," + mode);
}

// Feeds the sentences a second apart and returns the fixes.
std::vector<Fix> fixesOf(NmeaReader& reader, const std::vector<std::string>& sentences) {
    std::vector<Fix> fixes;
    std::int64_t upMs = 0;
    for (const std::string& s : sentences)
        if (const auto heard = reader.feed(s, upMs += 1000); heard.fix)
            fixes.push_back(*heard.fix);
    if (const auto last = reader.flush())
        fixes.push_back(*last);
    return fixes;
}

std::vector<Fix> fixesOf(const std::vector<std::string>& sentences) {
    NmeaReader reader;
    return fixesOf(reader, sentences);
}

// The fix of one second whose GGA holds this position.
std::vector<Fix> fixesAt(const std::string& where) {
    return fixesOf({gga("120000", "1", "1.0", where), rmc("120000", "010926")});
}

Verdict verdictOn(const std::string& line) {
    NmeaReader reader;
    return reader.feed(line, 0).verdict;
}

} // namespace

TEST_CASE("A checksum that is right is accepted in either case, any other is refused", "[place]") {
    // The example that nearly every description of NMEA 0183 prints, checksum 47.
    const std::string body = "$GPGGA,123519,4807.038,N,01131.000,E,1,08,0.9,545.4,M,46.9,M,,";
    const std::string whole = body + "*47\r\n";
    const auto s = readNmeaSentence(whole);
    REQUIRE(s);
    CHECK(s->address == "GPGGA");
    CHECK(s->type() == "GGA");
    CHECK(s->field(1) == "123519");
    CHECK(s->field(9) == "545.4");
    CHECK(s->field(13).empty());
    CHECK(s->field(14).empty());
    CHECK(s->field(400).empty());
    CHECK(readNmeaSentence(sentence("GPGSA,A,1,,,,,,,,,,,,,,,")));
    CHECK(readNmeaSentence("$PFST,FOM,6*63"));
    CHECK(readNmeaSentence("$GPGLL,,,,,,V,N*64")); // telit-he910.nmea
    CHECK(readNmeaSentence("$GPZZZ,M*2c"));
    CHECK(readNmeaSentence("$GPZZZ,M*2C"));

    CHECK(readNmeaSentence(body + "*48").error().code == Code::BadChecksum);
    CHECK(readNmeaSentence(body + "*4").error().code == Code::BadChecksum);
    CHECK(readNmeaSentence(body + "*").error().code == Code::BadChecksum);
    CHECK(readNmeaSentence(body + "*47 ").error().code == Code::BadChecksum);
    CHECK(readNmeaSentence(body + "*4G").error().code == Code::BadChecksum);
    CHECK(readNmeaSentence(body).error().code == Code::MissingMember);
}

TEST_CASE("What is no sentence is refused", "[place]") {
    CHECK(readNmeaSentence("").error().code == Code::BadInput);
    CHECK(readNmeaSentence("\r\n").error().code == Code::BadInput);
    CHECK(readNmeaSentence("# Location: Rennes").error().code == Code::BadInput);
    CHECK(readNmeaSentence(std::string("$GPGGA\0,*56", 11)).error().code == Code::BadInput);
    CHECK(readNmeaSentence("$GPTXT,caf\xc3\xa9*00").error().code == Code::BadInput);
    CHECK(readNmeaSentence("$" + std::string(4096, 'A')).error().code == Code::LineTooLong);
    CHECK(readNmeaSentence(sentence(std::string(kMaxSentence - 4, 'A')))); // "$" and "*hh" make up the rest
    CHECK(readNmeaSentence(sentence(std::string(kMaxSentence - 3, 'A'))).error().code == Code::LineTooLong);
    CHECK(readNmeaSentence("$*00"));
}

TEST_CASE("Proprietary sentences have no type", "[place]") {
    CHECK(readNmeaSentence("$PFST,FOM,6*63")->type().empty());
    CHECK(readNmeaSentence(sentence("PGGGA,120000"))->type().empty());
    CHECK(readNmeaSentence(sentence("GGA,120000"))->type().empty());
    CHECK(verdictOn(sentence("PFST,FOM,6")) == Verdict::Skipped);
    CHECK(verdictOn(sentence("GPGSV,1,1,00")) == Verdict::Skipped);
}

TEST_CASE("GGA and RMC of the same time make one fix, whichever comes first and whoever talks", "[place]") {
    for (const bool ggaFirst : {true, false}) {
        std::vector<std::string> pair{gga("143748.77"), rmc("143748.77", "121007")};
        if (!ggaFirst)
            std::swap(pair[0], pair[1]);
        const auto fixes = fixesOf(pair);
        REQUIRE(fixes.size() == 1);
        CHECK(time::formatUtc(fixes[0].utc) == "2007-10-12T14:37:48.770Z");
        CHECK(fixes[0].upMs == (ggaFirst ? 1000 : 2000)); // when the position came
        CHECK(fixes[0].latE7 == 481'062'183);             // 6.3731 minutes are 0.106218333 degree
        CHECK(fixes[0].lonE7 == -16'436'950);             // 38.6217 minutes are 0.643695 degree
        CHECK(fixes[0].accuracyMm == 5'500);              // 1.1 times 5 m
    }
    const auto mixed = fixesOf({sentence("GNGGA,120000,0000.0000,N,00000.0000,E,2,10,1.0,,M,,M,,"),
                                sentence("GARMC,120000.00,A,,,,,,,010926,,")});
    REQUIRE(mixed.size() == 1);
    CHECK(time::formatUtc(mixed[0].utc) == "2026-09-01T12:00:00.000Z");
}

TEST_CASE("Degrees and minutes become ten-millionths of a degree exactly", "[place]") {
    // science.md table 1 row 20: N 19 40.158, W 100 17.772 is 19.66930, -100.29620 (Sierra Chincua).
    auto fixes = fixesAt("1940.158,N,10017.772,W");
    REQUIRE(fixes.size() == 1);
    CHECK(fixes[0].latE7 == 196'693'000);
    CHECK(fixes[0].lonE7 == -1'002'962'000);

    // A 10^-7 degree is 0.000006 minute; half of that rounds away from zero on either side.
    fixes = fixesAt("0000.000003,S,00000.000002999,E");
    REQUIRE(fixes.size() == 1);
    CHECK(fixes[0].latE7 == -1);
    CHECK(fixes[0].lonE7 == 0);

    fixes = fixesAt("8959.9999999999999999999999,N,17959.999999999,W");
    REQUIRE(fixes.size() == 1);
    CHECK(fixes[0].latE7 == 900'000'000);
    CHECK(fixes[0].lonE7 == -1'800'000'000);

    fixes = fixesAt("9000,S,18000.,E");
    REQUIRE(fixes.size() == 1);
    CHECK(fixes[0].latE7 == -900'000'000);
    CHECK(fixes[0].lonE7 == 1'800'000'000);
}

TEST_CASE("Positions that can't be are refused", "[place]") {
    for (const char* where :
         {"4860.0000,N,00138.6217,W",  "4899.9999,N,00138.6217,W", "4806.3731,N,00199.0000,W",
          "9000.0001,N,00138.6217,W",  "4806.3731,N,18000.001,W",  "4806.3731,N,99959.9999,E",
          "4806.3731,X,00138.6217,W",  "4806.3731,,00138.6217,W",  "4806.3731,N,00138.6217,n",
          "4806.3731,NS,00138.6217,W", ",N,00138.6217,W",          ",,,",
          "-806.3731,N,00138.6217,W",  "4806,3731,N,00138.6217",   "806.3731,N,00138.6217,W",
          "4806.3731,N,0138.6217,W",   "4806.37e1,N,00138.6217,W", "4806.3731 ,N,00138.6217,W",
          "48 6.3731,N,00138.6217,W",  "4806..731,N,00138.6217,W", "nan,N,inf,W"}) {
        INFO(where);
        CHECK(fixesAt(where).empty());
        CHECK(verdictOn(gga("120000", "1", "1.0", where)) == Verdict::Malformed);
    }
}

TEST_CASE("Times and dates that can't be are refused", "[place]") {
    for (const char* time : {"", "240000", "126000", "120060", "12000", "1200000", "120000,", "12:00:00",
                             "120000.0x", "-10000", "120000-1"}) {
        INFO(time);
        CHECK(fixesOf({gga(time), rmc(time, "010926")}).empty());
    }
    for (const char* date : {"", "310226", "000926", "011326", "0109", "01092026", "01/9/6"}) {
        INFO(date);
        CHECK(fixesOf({gga("120000"), rmc("120000", date)}).empty());
    }
    CHECK(time::formatUtc(fixesOf({gga("235959.9999"), rmc("235959.9999", "290224")}).at(0).utc) ==
          "2024-02-29T23:59:59.999Z");
    CHECK(time::formatUtc(fixesOf({gga("000000"), rmc("000000", "060180")}).at(0).utc) ==
          "1980-01-06T00:00:00.000Z");
    CHECK(time::formatUtc(fixesOf({gga("000000"), rmc("000000", "311279")}).at(0).utc) ==
          "2079-12-31T00:00:00.000Z");
}

TEST_CASE("What was not measured is never a position", "[place]") {
    struct Row {
        const char* quality;
        Verdict verdict;
    };
    for (const Row& row :
         {Row{"0", Verdict::NoFix}, Row{"6", Verdict::NotMeasured}, Row{"7", Verdict::NotMeasured},
          Row{"8", Verdict::Simulated}, Row{"9", Verdict::Malformed}, Row{"", Verdict::Malformed},
          Row{"11", Verdict::Malformed}, Row{"A", Verdict::Malformed}}) {
        INFO(row.quality);
        CHECK(verdictOn(gga("120000", row.quality)) == row.verdict);
        CHECK(fixesOf({gga("120000", row.quality), rmc("120000", "010926")}).empty());
        CHECK(fixesOf({rmc("120000", "010926"), gga("120000", row.quality)}).empty());
    }
    for (const char* quality : {"1", "2", "3", "4", "5"})
        CHECK(fixesOf({gga("120000", quality), rmc("120000", "010926")}).size() == 1);
}

TEST_CASE("An RMC that denies the fix outweighs the GGA that claims it", "[place]") {
    const std::string before = rmc("115959", "010926"); // so that a date is known
    for (const auto& denial : {rmc("120000", "010926", "V", "N"), rmc("120000", "010926", "A", "S"),
                               rmc("120000", "010926", "A", "E"), rmc("120000", "010926", "A", "M"),
                               rmc("120000", "010926", "V", "A"), rmc("120000", "", "V", "")}) {
        INFO(denial);
        for (const bool ggaFirst : {true, false}) {
            NmeaReader reader;
            const auto fixes = ggaFirst
                                   ? fixesOf(reader, {before, gga("120000"), denial, gga("120001", "0")})
                                   : fixesOf(reader, {before, denial, gga("120000"), gga("120001", "0")});
            CHECK(fixes.empty());
            CHECK(reader.tally().denied == 1);
        }
    }
    CHECK(verdictOn(rmc("120000", "010926", "A", "S")) == Verdict::Simulated);
    CHECK(verdictOn(rmc("120000", "010926", "V", "S")) == Verdict::Simulated);
    CHECK(verdictOn(rmc("120000", "010926", "A", "E")) == Verdict::NotMeasured);
    // A receiver that has lost even the time.
    CHECK(fixesOf({before, gga("120000"), sentence("GPRMC,,V,,,,,,,,,,N"), gga("120001", "0")}).empty());
    // The navigational status of version 4.1 is not about the fix (quectel.nmea).
    CHECK(fixesOf({gga("120000"), rmc("120000", "010926", "A", "A,V")}).size() == 1);
}

TEST_CASE("A wrong or missing checksum drops the sentence", "[place]") {
    std::string bad = gga("120000");
    bad[20] = bad[20] == '1' ? '2' : '1';
    NmeaReader reader;
    CHECK(fixesOf(reader, {bad, rmc("120000", "010926")}).empty());
    CHECK(reader.tally().count(Verdict::ChecksumWrong) == 1);
    const std::string good = gga("120001");
    CHECK(fixesOf(reader, {good.substr(0, good.find('*')), rmc("120001", "010926")}).empty());
    CHECK(reader.tally().count(Verdict::ChecksumMissing) == 1);
    CHECK(reader.tally().fixes == 0);
}

TEST_CASE("Fixes on both sides of midnight get their own day", "[place]") {
    SECTION("with an RMC every second") {
        const auto fixes =
            fixesOf({gga("235959"), rmc("235959", "310826"), gga("000000"), rmc("000000", "010926")});
        REQUIRE(fixes.size() == 2);
        CHECK(time::formatUtc(fixes[0].utc) == "2026-08-31T23:59:59.000Z");
        CHECK(time::formatUtc(fixes[1].utc) == "2026-09-01T00:00:00.000Z");
    }
    SECTION("with one RMC before it") {
        const auto fixes = fixesOf({rmc("235958", "311226"), gga("235959"), gga("000000"), gga("000001")});
        REQUIRE(fixes.size() == 3);
        CHECK(time::formatUtc(fixes[0].utc) == "2026-12-31T23:59:59.000Z");
        CHECK(time::formatUtc(fixes[1].utc) == "2027-01-01T00:00:00.000Z");
        CHECK(time::formatUtc(fixes[2].utc) == "2027-01-01T00:00:01.000Z");
    }
    SECTION("with one RMC after it") {
        const auto fixes = fixesOf({gga("235959"), rmc("000000", "010926"), gga("000001")});
        REQUIRE(fixes.size() == 1); // the first second had no date when it ended
        CHECK(time::formatUtc(fixes[0].utc) == "2026-09-01T00:00:01.000Z");
    }
    SECTION("with the old date still standing in the first RMC of the day") {
        // Not ours to mend: the receiver's own UTC is kept as it says, and the phone's clock stands beside
        // it.
        const auto fixes = fixesOf({gga("000000"), rmc("000000", "310826")});
        REQUIRE(fixes.size() == 1);
        CHECK(time::formatUtc(fixes[0].utc) == "2026-08-31T00:00:00.000Z");
    }
}

TEST_CASE("A ZDA dates fixes too", "[place]") {
    const auto fixes = fixesOf({sentence("GPZDA,120000.00,01,09,2026,00,00"), gga("120000"), gga("120001")});
    REQUIRE(fixes.size() == 2);
    CHECK(time::formatUtc(fixes[1].utc) == "2026-09-01T12:00:01.000Z");
    const auto after = fixesOf({gga("120000"), sentence("GPZDA,120000.00,01,09,2026,00,00"), gga("120001")});
    CHECK(after.size() == 2);
    for (const char* bad : {"GPZDA,120000,31,02,2026,,", "GPZDA,120000,1,9,2026,,", "GPZDA,120000,01,09,26,,",
                            "GPZDA,120000,01,09,1979,,", "GPZDA,x,01,09,2026,,", "GPZDA,120000"})
        CHECK(verdictOn(sentence(bad)) == Verdict::Malformed);
    CHECK(verdictOn(sentence("GPZDA,,,,,,")) == Verdict::NoFix);
}

TEST_CASE("Without a date there is no fix, and a date is not kept for long", "[place]") {
    NmeaReader undated;
    CHECK(fixesOf(undated, {gga("120000"), gga("120001"), gga("120002")}).empty());
    CHECK(undated.tally().undated == 3);

    for (const bool late : {false, true}) {
        NmeaReader reader;
        CHECK_FALSE(reader.feed(rmc("120000", "010926"), 0).fix);
        CHECK_FALSE(reader.feed(gga("121000"), kDateHeldMs + (late ? 1 : 0)).fix);
        CHECK(reader.flush().has_value() != late);
    }
    // Exactly a day later, the RMC of yesterday has no say.
    NmeaReader reader;
    CHECK_FALSE(reader.feed(rmc("120000", "010926"), 0).fix);
    CHECK_FALSE(reader.feed(gga("120000"), 86'400'000).fix);
    CHECK_FALSE(reader.flush());
}

TEST_CASE("A second talker doesn't give the same second twice", "[place]") {
    const std::string second = sentence("GLGGA,120000,4806.3731,N,00138.6217,W,1,10,1.1,42.2,M,48.5,M,,");
    for (const auto& order :
         {std::vector<std::string>{rmc("120000", "010926"), gga("120000"), second, gga("120001", "0")},
          std::vector<std::string>{gga("120000"), second, rmc("120000", "010926"), gga("120001", "0")},
          std::vector<std::string>{gga("120000"), rmc("120000", "010926"), second, gga("120001", "0")}}) {
        NmeaReader reader;
        CHECK(fixesOf(reader, order).size() == 1);
        CHECK(reader.tally().repeated == 1);
    }
}

TEST_CASE("Accuracy comes from GST where the receiver sends it", "[place]") {
    // 3 m north and 4 m east are 5 m in distance, root mean square.
    const std::string gst = sentence("GPGST,120000,6.0,,,,3.0,4.0,9.0");
    CHECK(fixesOf({gst, gga("120000"), rmc("120000", "010926")}).at(0).accuracyMm == 5'000);
    CHECK(fixesOf({gga("120000"), gst, rmc("120000", "010926")}).at(0).accuracyMm == 5'000);
    // From the second before, since most receivers send it last; not from longer ago, not from tomorrow.
    CHECK(fixesOf({gst, gga("120002"), rmc("120002", "010926")}).at(0).accuracyMm == 5'000);
    CHECK(fixesOf({gst, gga("120003"), rmc("120003", "010926")}).at(0).accuracyMm == 5'500);
    CHECK(fixesOf({gst, gga("115959"), rmc("115959", "010926")}).at(0).accuracyMm == 5'500);
    const auto midnight =
        fixesOf({sentence("GPGST,235959,,,,,3.0,4.0,"), gga("000000"), rmc("000000", "010926")});
    CHECK(midnight.at(0).accuracyMm == 5'000);
    for (const char* useless :
         {"GPGST,120000,6.0,,,,,4.0,9.0", "GPGST,120000,6.0,,,,0.0,0.0,9.0",
          "GPGST,120000,6.0,,,,nan,inf,9.0", "GPGST,,,,,,,,", "GPGST,120000,6.0,,,,-3.0,4.0,"})
        CHECK(fixesOf({sentence(useless), gga("120000"), rmc("120000", "010926")}).at(0).accuracyMm == 5'500);
}

TEST_CASE("Accuracy that is not stated counts as unknown, so that doubled it is 30 m", "[place]") {
    for (const char* hdop :
         {"", "0.0", "00.0", "-1", "nan", "inf", "1e3", "1.1.", "1,1", "0x1p3", "99999999"}) {
        INFO(hdop);
        const auto fixes = fixesOf({gga("120000", "1", hdop), rmc("120000", "010926")});
        REQUIRE(fixes.size() == 1);
        CHECK(fixes[0].accuracyMm == (std::string(hdop) == "1,1" ? 5'000 : kUnknownAccuracyMm));
    }
    CHECK(fixesOf({gga("120000", "1", "99.99"), rmc("120000", "010926")}).at(0).accuracyMm == 499'950);
    CHECK(fixesOf({gga("120000", "1", "0.0000001"), rmc("120000", "010926")}).at(0).accuracyMm == 1);
}

TEST_CASE("Hostile lines are refused and leave the reader working", "[place]") {
    NmeaReader reader;
    const std::vector<std::string> hostile{
        std::string(4096, ','),
        "$" + std::string(4096, ','),
        sentence("GPGGA" + std::string(4096, ',')),
        std::string(100, '\0'),
        std::string("$GPGGA,\0\0\0*00", 13),
        "$",
        "$*",
        "*",
        "\n",
        "\r",
        "$$$$*00",
        sentence(""),
        sentence(","),
        sentence("GPGGA"),
        sentence("GPRMC"),
        sentence("GPGST"),
        sentence("GPZDA"),
        sentence("GPGGA" + std::string(200, ',')),
        sentence("GPRMC,999999,A,9999.9999,N,99999.9999,W,,,999999,,"),
        sentence("GPGGA,120000," + std::string(100, '9') + ",N," + std::string(100, '9') + ",E,1,,,,")};
    for (const std::int64_t upMs : {std::numeric_limits<std::int64_t>::min(), std::int64_t{-1},
                                    std::int64_t{0}, std::numeric_limits<std::int64_t>::max()})
        for (const std::string& line : hostile)
            CHECK_FALSE(reader.feed(line, upMs).fix);
    CHECK_FALSE(reader.flush());
    CHECK(reader.tally().fixes == 0);
    CHECK(fixesOf(reader, {gga("120000"), rmc("120000", "010926")}).size() == 1);
}
