#include "reading/qr_code.h"

#include "catch_compat.hpp"

using namespace discal;
using reading::makeQrCode;
using reading::readQrCode;

// Regression: maker and reader are the same library (ZXing-C++ 1.4), an own reading of what we draw.
TEST_CASE("What is drawn as a QR code is read back", "[reading][qr]") {
    for (const std::string& text : {std::string("DISCAL:%69 VD92EX0"), std::string("RKD 014"), std::string(2000, 'Q')}) {
        const auto code = makeQrCode(text);
        REQUIRE(code);
        CHECK(code->dark.size() == static_cast<std::size_t>(code->side * code->side));
        const auto read = readQrCode(*code, 3);
        REQUIRE(read);
        CHECK(*read == text);
    }
}

// ISO/IEC 18004, table 7: version 1-L holds 25 alphanumeric characters, version 40-L 4,296; a side is 17 + 4 x version.
TEST_CASE("A QR code is as small as the standard allows, and no larger than version 40", "[reading][qr]") {
    const auto small = makeQrCode(std::string(25, 'A'));
    REQUIRE(small);
    CHECK(small->side == 21);
    const auto next = makeQrCode(std::string(26, 'A'));
    REQUIRE(next);
    CHECK(next->side == 25);
    const auto largest = makeQrCode(std::string(4296, 'A'));
    REQUIRE(largest);
    CHECK(largest->side == 177);
    CHECK_FALSE(makeQrCode(std::string(4297, 'A')));
    CHECK_FALSE(makeQrCode(""));
}

// ISO/IEC 18004, table 7: version 1 holds 25, 20, 16, 10 alphanumeric characters at levels L, M, Q, H.
TEST_CASE("A QR code that may lose more holds less", "[reading][qr]") {
    using reading::Spare;
    for (const auto& [spare, most] : {std::pair{Spare::L, 25}, {Spare::M, 20}, {Spare::Q, 16}, {Spare::H, 10}}) {
        CHECK(makeQrCode(std::string(static_cast<std::size_t>(most), 'A'), spare)->side == 21);
        CHECK(makeQrCode(std::string(static_cast<std::size_t>(most) + 1, 'A'), spare)->side == 25);
    }
}
