#include "core/tag/label.h"

#include "catch_compat.hpp"

#include <algorithm>

using namespace discal;
using tag::SheetLabel;

namespace {

SheetLabel labelOf(const std::string& pattern, const std::string& first, std::uint32_t count, int perRow = 0) {
    return {*tag::Scheme::fromPattern(pattern), *tag::parseAny(first), count, perRow};
}

} // namespace

TEST_CASE("A label's text is what is printed in its code, and is read back", "[tag][label]") {
    const SheetLabel label = labelOf("AAA000-IO", "RKD 001", 25, 5);
    // On paper, so never to change.
    CHECK(tag::labelText(label) == "DISCAL SHEET 1 AAA000-IO RKD001 25 5");
    CHECK(tag::labelText(labelOf("AAA000", "RKD 001", 25)) == "DISCAL SHEET 1 AAA000 RKD001 25");
    for (const SheetLabel& printed :
         {label, labelOf("AAA000", "RKD 001", 25), labelOf("000000", "123456", 1), labelOf("AAA000", "ZZZ 900", 100),
          labelOf("AAAAAA000000000", "RKDRKD 000000000", 10'000, 1'000)}) {
        const auto read = tag::readLabel(tag::labelText(printed));
        REQUIRE(read);
        CHECK(*read == printed);
        CHECK(read->run()->count == printed.count);
    }
}

// ISO/IEC 18004, table 5: the alphanumeric alphabet. Table 7: a version 3-L code holds 77 of its characters.
TEST_CASE("A label's text stays in the small alphabet of QR codes", "[tag][label]") {
    const std::string alphabet = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:";
    const std::string text = tag::labelText(labelOf("AAA000-IO", "RKD 001", 10'000, 1'000));
    CHECK(text.find_first_not_of(alphabet) == std::string::npos);
    CHECK(text.size() <= 77);
    const std::string longest =
        tag::labelText(labelOf("AAAAAA000000000-BCDEFGHIJKLMNOPQRSTUVWXYZ", "AAAAAA 000000001", 10'000, 1'000));
    CHECK(longest.size() <= tag::kMostLabelBytes);
    CHECK(tag::readLabel(longest));
}

TEST_CASE("A label that names the first and last code gives the run between them", "[tag][label]") {
    for (const char* text : {"RKD 001 - RKD 025", "RKD001/RKD025", "RKD001-RKD025", "RKD-001 - RKD-025",
                             "rkd 001 to rkd 025", "RKD 001 to 025", "RKD 001-025", "RKD001..RKD025", "RKD 001 RKD 025",
                             "RKD 001, RKD 025", "RKD 001\nRKD 025", "RKD 001\r\nRKD 025\r\n",
                             "RKD 001 \xE2\x80\x93 RKD 025"}) {
        INFO(text);
        const auto read = tag::readLabel(text);
        REQUIRE(read);
        CHECK(*read == labelOf("AAA000", "RKD 001", 25));
    }
    const auto over = tag::readLabel("RKD 990 - RKE 014");
    REQUIRE(over);
    CHECK(over->count == 25);
    CHECK(tag::readLabel("120001-120100")->count == 100);
}

TEST_CASE("A label that names one code doesn't say how many there are", "[tag][label]") {
    const auto read = tag::readLabel("RKD 001");
    REQUIRE(read);
    CHECK(read->count == 0);
    CHECK(read->run().error().code == discal::Code::OutOfRange);
    CHECK(tag::labelText(*read) == "RKD 001");
}

TEST_CASE("What is no label is refused and nothing in it is repaired", "[tag][label]") {
    for (const char* text :
         {"", " ", "RKD", "hello", "https://example.org/RKD001-RKD025", "RKD 00l - RKD 025", "RK0 001 - RKD 025",
          "RKD 001 - RK 025", "RKD 101 125", "RKD 001 25", "2026-09-05", "555-1234", "RKD 001 - RKD 025 - RKD 050",
          "DISCAL:%69 VD92EX0", "DISCAL SHEET ", "DISCAL SHEET 1", "DISCAL SHEET 1 AAA000 RKD001",
          "DISCAL SHEET 1 AAA000 RKD001 025", "DISCAL SHEET 1 AAA000 RKD001 25 0", "DISCAL SHEET 1 AAA000 RKD001 25 5 ",
          "DISCAL SHEET 1 AAA000 RKD 001 25", "DISCAL SHEET 1 AAA000-KK RKD001 25", "DISCAL SHEET 1 AAA000-K RKD001 25",
          "DISCAL SHEET 1 AAA000-OI RKD001 25", "DISCAL SHEET 1 AA000 RKD001 25", "DISCAL SHEET 1 AAA000 rkd001 25",
          "DISCAL SHEET 1 AAA000 RKD001 25 1001", "DISCAL SHEET 01 AAA000 RKD001 25", "discal sheet 1 AAA000 RKD001 25",
          "DISCAL SHEET 0 AAA000 RKD001 25", "DISCAL SHEET 1 AAA000 RKD001 99999999999999999999"}) {
        INFO(text);
        const auto read = tag::readLabel(text);
        REQUIRE_FALSE(read);
        CHECK(read.error().code == discal::Code::BadInput);
    }
    CHECK_FALSE(tag::readLabel(std::string(1 << 20, ' ')));
    CHECK_FALSE(tag::readLabel(std::string("RKD 001\0", 8)));
}

TEST_CASE("A run that goes backwards or is too long is no label, and a later form says so", "[tag][label]") {
    CHECK(tag::readLabel("RKD 025 - RKD 001").error().code == discal::Code::OutOfRange);
    CHECK(tag::readLabel("RKD 000 - RKZ 000").error().code == discal::Code::OutOfRange);
    CHECK(tag::readLabel("DISCAL SHEET 1 AAA000 RKD001 10001").error().code == discal::Code::OutOfRange);
    CHECK(tag::readLabel("DISCAL SHEET 1 AAA000 ZZZ999 2").error().code == discal::Code::OutOfRange);
    const auto later = tag::readLabel("DISCAL SHEET 2 WHATEVER");
    REQUIRE_FALSE(later);
    CHECK(later.error().code == discal::Code::NewerFile);
    CHECK(later.error().number == 2);
}
