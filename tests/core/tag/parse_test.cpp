#include "core/tag/scheme.h"

#include "catch_compat.hpp"

#include <rapidcheck.h>

#include <string>
#include <vector>

using namespace discal::tag;
using Problem = discal::Code;

namespace {

Scheme schemeOf(std::string_view pattern) {
    return Scheme::fromPattern(pattern).value();
}

std::string read(std::string_view pattern, std::string_view typed) {
    const auto code = schemeOf(pattern).parse(typed);
    return code ? code->text() : std::string{};
}

/// The readings offered, as they stand in the error; "?" if the text was not asked about.
std::string asked(std::string_view pattern, std::string_view typed) {
    const auto code = schemeOf(pattern).parse(typed);
    return !code && code.error().code == Problem::AmbiguousCode ? code.error().detail : "?";
}

bool refused(std::string_view pattern, std::string_view typed) {
    const auto code = schemeOf(pattern).parse(typed);
    return !code && code.error().code == Problem::NotACode;
}

} // namespace

TEST_CASE("A code is read in either case and however its groups are set apart", "[tag]") {
    for (const char* typed :
         {"RKD 014", "rkd014", "Rkd-014", " RKD  014 ", "RKD.014", "RKD - 014", "\tRKD\t014\r\n",
          "RKD\xC2\xA0"
          "014",
          "RKD\xE2\x80\x93"
          "014",
          "RKD 014.", "R K D 0 1 4", "RKD 014. "}) {
        INFO(typed);
        CHECK(read("AAA000", typed) == "RKD 014");
        CHECK_FALSE(schemeOf("AAA000").parseTyped(typed)->repaired);
    }
    CHECK(read("AAAA000", "abcd123") == "ABCD 123");
    CHECK(read("A00000", "a-12345") == "A 12345");
    CHECK(read("000000", "123 456") == "123456");
}

TEST_CASE("A letter typed for a digit is repaired when one reading is left, and said so", "[tag]") {
    const auto parsed = schemeOf("AAA000").parseTyped("RKD O14");
    REQUIRE(parsed);
    CHECK(parsed->code.text() == "RKD 014");
    CHECK(parsed->repaired);
    CHECK(read("AAA000", "RKD Ql4") == "RKD 014");
    CHECK(read("AAA000", "RKD Z14") == "RKD 214");
    CHECK(read("AAA000", "RKD 0S4") == "RKD 054");
    CHECK(read("AAA000", "RKD 01B") == "RKD 018");
    CHECK(read("AAA000", "RKD 0G4") == "RKD 064");
    CHECK(read("AAA000", "RKD i14") == "RKD 114");
    CHECK(refused("AAA000", "RKD X14"));
}

TEST_CASE("A digit typed for a letter is repaired only where one letter fits", "[tag]") {
    CHECK(read("AAA000", "2KD 014") == "ZKD 014");
    CHECK(read("AAA000", "R5D 014") == "RSD 014");
    CHECK(read("AAA000", "RK8 014") == "RKB 014");
    CHECK(read("AAA000", "6KD 014") == "GKD 014");
    CHECK(asked("AAA000", "RK0 014") == "RKO014 RKQ014 RKD014");
    CHECK(asked("AAA000", "1KD 014") == "IKD014 LKD014");
    CHECK(refused("AAA000", "RK3 014"));
}

TEST_CASE("Excluded letters leave fewer readings", "[tag]") {
    CHECK(read("AAA000-IO", "1KD 014") == "LKD 014");
    CHECK(asked("AAA000-IO", "RK0 014") == "RKQ014 RKD014");
    CHECK(read("AAA000-DO", "RK0 014") == "RKQ 014");
    SECTION("but a weak likeness is still asked about, and so is the excluded letter itself") {
        CHECK(asked("AAA000-OQ", "RK0 014") == "RKD014");
        CHECK(asked("AAA000-IO", "RKO 014") == "RKQ014 RKD014 RKC014");
        CHECK(refused("AAA000-X", "RKX 014"));
    }
}

TEST_CASE("A reading that rests on an assumption is asked about", "[tag]") {
    SECTION("leading zeros not written") {
        CHECK(asked("AAA000", "RKD 14") == "RKD014");
        CHECK(asked("AAA000", "rkd 4") == "RKD004");
        CHECK(asked("000000", "123") == "000123");
    }
    SECTION("a weak likeness") {
        CHECK(asked("AAA000", "RKD D14") == "RKD014");
    }
    SECTION("letter and digit swapped at the border") {
        CHECK(asked("AAA000", "RK0D14") == "RKD014 RKO014 RKQ014");
        // Both glyphs have a likeness, and would have made another legal code, RKS 814.
        CHECK(asked("AAA000", "RK5B14") == "RKB514 RKS814");
        CHECK(asked("AAA000", "RK7X14") == "RKX714");
    }
    SECTION("a whole group repaired: perhaps somebody else's code, perhaps a word") {
        CHECK(asked("AAA000", "586 014") == "SBG014");
        CHECK(asked("AAA000", "RKD SOS") == "RKD505");
        CHECK(asked("A00000", "8 12345") == "B12345");
    }
    SECTION("repairs both ways") {
        CHECK(asked("AAA000", "2KD O14") == "ZKD014");
    }
}

TEST_CASE("At most sixteen readings are offered, the likeliest first", "[tag]") {
    const auto readings = schemeOf("AAA000").readings("000 014");
    REQUIRE(readings.size() == 16);
    CHECK(readings.front().text() == "OOO 014");
    CHECK(schemeOf("AAA000").readings("RKD O14").size() == 1);
    CHECK(schemeOf("AAA000").readings("RKD").empty());
}

TEST_CASE("What has another number of glyphs, or another sign in it, is refused with the legal form",
          "[tag]") {
    for (const char* typed : {"",         " ",           "RKD",
                              "014",      "RKD 0145",    "RKDD 014",
                              "RK 014",   "RKD 014 015", "RKD/014",
                              "#RKD 014", "RKD_014",     "-RKD 014",
                              "RKD 014-", ".RKD 014",    "RK-D014",
                              "RKD 0-14", "RKD 0.14",    "RKD 01\xC3\xA9",
                              "\xC2",     "RKD\xE2\x80", "RKD 01\xD9\xA4",
                              "RKD 0014"}) {
        INFO(typed);
        CHECK(refused("AAA000", typed));
    }
    CHECK(refused("AAA000", std::string("RKD\0"
                                        "014",
                                        7)));
    CHECK(refused("AAA000", std::string(60, ' ') + "RKD014"));
    CHECK(schemeOf("AAA000").parse("?").error().detail == "AAA 000 (RKD 014)");
    CHECK(schemeOf("AAA000-K").parse("?").error().detail == "AAA 000 (RDM 014)");
    CHECK(schemeOf("000000").parse("?").error().detail == "000000 (000014)");
    // A date typed into the wrong field is no code of a six-digit scheme.
    CHECK(refused("000000", "12.31.24"));
    CHECK(refused("000000", "12-31-24"));
}

TEST_CASE("A code of an unknown scheme is read from its own form", "[tag]") {
    CHECK(parseAny("xy 4711")->text() == "XY 4711");
    CHECK(parseAny("A-12345")->text() == "A 12345");
    CHECK(parseAny("123456")->text() == "123456");
    CHECK(parseAny("ABCDEF 123456789")->text() == "ABCDEF 123456789");
    CHECK(parseAny(" rkd\xC2\xA0"
                   "014")
              ->text() == "RKD 014");
    for (const char* typed : {"", "RKD", "A1", "12", "ABCDEFG 1", "1234567890", "12A", "RK0 014",
                              "RKD 014-015", "RKD 014 015", "123 456", "R KD 014", "A 12-345", "RKD014X"}) {
        INFO(typed);
        const auto code = parseAny(typed);
        REQUIRE_FALSE(code);
        CHECK(code.error().code == Problem::NotACode);
    }
}

TEST_CASE("Canonical text is taken as stored, and nothing else is", "[tag]") {
    CHECK(Code::fromText("RKD 014")->text() == "RKD 014");
    CHECK(Code::fromText("123456")->letters().empty());
    CHECK(Code::fromText("RKD 014")->compact() == "RKD014");
    for (const char* text : {"RKD014", "rkd 014", "RKD  014", " 123", "RKD ", "RKD 014 ", "A 1", ""}) {
        INFO(text);
        CHECK_FALSE(Code::fromText(text));
    }
}

TEST_CASE("Any code comes back from its own text, by every route", "[tag]") {
    REQUIRE(rc::check([] {
        const auto letters = *rc::gen::inRange<std::size_t>(0, kMaxLetters + 1);
        const auto digits = *rc::gen::inRange<std::size_t>(letters >= 2 ? 1 : 3 - letters, kMaxDigits + 1);
        const Scheme scheme = schemeOf(std::string(letters, 'A') + std::string(digits, '0'));
        const Code code = scheme.at(*rc::gen::inRange<std::uint64_t>(0, scheme.capacity()));
        RC_ASSERT(scheme.parse(code.text()).value() == code);
        RC_ASSERT(scheme.parse(code.compact()).value() == code);
        RC_ASSERT(parseAny(code.text()).value() == code);
        RC_ASSERT(Code::fromText(code.text()).value() == code);
        RC_ASSERT(Scheme::learn(code.text()).value() == scheme);
        RC_ASSERT(std::hash<Code>{}(code) == std::hash<Code>{}(scheme.parse(code.compact()).value()));
    }));
}

TEST_CASE("Whatever is typed, a code or a reading offered is one of the scheme's", "[tag]") {
    REQUIRE(rc::check([] {
        const Scheme scheme =
            schemeOf(*rc::gen::element<std::string>("AAA000", "AAA000-IO", "A00", "000", "AAAAAA0-OQD"));
        const auto typed = *rc::gen::container<std::string>(rc::gen::element(
            '0', '1', '2', '4', '5', '6', '8', 'O', 'q', 'D', 'I', 'L', 'z', 'S', 'B', 'G', 'R', ' ', '-'));
        const auto readings = scheme.readings(typed);
        const auto code = scheme.parse(typed);
        for (const Code& reading : readings)
            RC_ASSERT(scheme.admits(reading));
        if (code)
            RC_ASSERT(readings == std::vector<Code>{*code});
        else
            RC_ASSERT(readings.empty() == (code.error().code == Problem::NotACode));
    }));
}
