#include "core/tag/look_alike.h"

#include "catch_compat.hpp"

#include <algorithm>
#include <string>

using namespace discal::tag;

namespace {

std::string texts(std::string_view pattern, std::string_view of) {
    std::string out;
    for (const Code& code : lookAlikes(Scheme::fromPattern(pattern).value(), Code::fromText(of).value()))
        out += (out.empty() ? "" : " ") + code.compact();
    return out;
}

} // namespace

TEST_CASE("Glyphs look alike both ways, in either case, and never like themselves", "[tag]") {
    for (const char* pair :
         {"O0", "Q0", "D0", "I1", "L1", "Z2", "S5", "B8", "G6", "QO", "JI", "GC", "38", "06"}) {
        INFO(pair);
        CHECK(looksLike(pair[0], pair[1]));
        CHECK(looksLike(pair[1], pair[0]));
    }
    CHECK(looksLike('o', '0'));
    CHECK_FALSE(looksLike('O', 'O'));
    CHECK_FALSE(looksLike('X', '4'));
    CHECK_FALSE(looksLike(' ', '-'));
    CHECK_FALSE(looksLike('\0', '\xFF'));
}

TEST_CASE("The table holds each pair once, and no letter stands for two digits", "[tag]") {
    const auto pairs = lookAlikePairs();
    for (std::size_t i = 0; i < pairs.size(); ++i) {
        for (std::size_t j = i + 1; j < pairs.size(); ++j) {
            const bool same = (pairs[i].a == pairs[j].a && pairs[i].b == pairs[j].b) ||
                              (pairs[i].a == pairs[j].b && pairs[i].b == pairs[j].a);
            CHECK_FALSE(same);
            const bool bothMixed =
                pairs[i].a > '9' && pairs[i].b <= '9' && pairs[j].a > '9' && pairs[j].b <= '9';
            CHECK_FALSE((bothMixed && pairs[i].a == pairs[j].a));
        }
    }
}

TEST_CASE("The look-alikes of a code are one glyph away and legal", "[tag]") {
    CHECK(texts("AAA000", "XQW 443") == "XDW443 XOW443 XQW448");
    CHECK(texts("AAA000-DO", "XQW 443") == "XQW448");
    CHECK(texts("000", "444").empty());
    CHECK(texts("AAA000", "ABCD 123").empty());
    // What the reading trial confused.
    CHECK(texts("AAA000", "XJX 444") == "XIX444");
    CHECK(texts("AAA000", "XGX 444") == "XCX444");
    CHECK(texts("000", "404") == "464 484");
}

TEST_CASE("Every look-alike of a code has that code among its own", "[tag]") {
    const Scheme scheme = Scheme::fromPattern("AAA000-I").value();
    for (std::uint64_t o = 0; o < scheme.capacity(); o += 99'991) {
        const Code code = scheme.at(o);
        for (const Code& other : lookAlikes(scheme, code)) {
            const auto back = lookAlikes(scheme, other);
            CHECK(std::find(back.begin(), back.end(), code) != back.end());
        }
    }
}
