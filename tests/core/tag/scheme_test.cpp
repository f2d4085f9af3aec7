#include "core/tag/scheme.h"

#include "catch_compat.hpp"

#include <rapidcheck.h>

#include <string>
#include <unordered_set>

using namespace discal::tag;
using Problem = discal::Code;

namespace {

Code code(std::string_view text) {
    return Code::fromText(text).value();
}
Scheme schemeOf(std::string_view pattern) {
    return Scheme::fromPattern(pattern).value();
}

std::string after(std::string_view pattern, std::string_view from, std::uint64_t count = 1) {
    const auto next = schemeOf(pattern).next(code(from), count);
    return next ? next->text() : "none";
}

const std::vector<std::string> kPatterns{
    "AAA000", "AAAA000",  "A00000", "000000",          "AAA000-IO",
    "A00",    "AA0-DIOQ", "000",    "AAAAAA000000000", "AAAAAA0-ABCDEFGHIJKLMNOPQRSTUVWXY"};

} // namespace

TEST_CASE("A scheme is learnt from one example", "[tag]") {
    CHECK(Scheme::learn("RKD 014")->pattern() == "AAA000");
    CHECK(Scheme::learn("abcd123")->pattern() == "AAAA000");
    CHECK(Scheme::learn(" A - 12345 ")->pattern() == "A00000");
    CHECK(Scheme::learn("123456")->pattern() == "000000");
    CHECK(Scheme::learn("RKD 014")->excludedLetters().empty());
    CHECK(Scheme::learn("RKD").error().code == Problem::NotACode);
    CHECK(Scheme::learn("A1").error().code == Problem::NotACode);
    CHECK(Scheme::learn("ABCDEFG 123").error().code == Problem::NotACode);
    CHECK(Scheme::learn("1234567890").error().code == Problem::NotACode);
    CHECK(Scheme::learn("").error().detail == "AAA 000 (RKD 014)");
}

TEST_CASE("A scheme is stored as a pattern and read back the same", "[tag]") {
    for (const std::string& pattern : kPatterns) {
        INFO(pattern);
        CHECK(schemeOf(pattern).pattern() == pattern);
        CHECK(schemeOf(schemeOf(pattern).pattern()) == schemeOf(pattern));
    }
    CHECK(schemeOf("AAA000-OIO") == schemeOf("AAA000-IO"));
    CHECK(schemeOf("AAA000-IO") != schemeOf("AAA000"));
    CHECK(schemeOf("AAA000-IO").hasShapeOf(schemeOf("AAA000")));
    for (const char* bad :
         {"", "AAA", "A0", "aaa000", "AAA000-", "AAA000-io", "AAA000-I-O", "000-IO", "AAAAAAA0",
          "A0000000000", "AAA000 ", "000AAA", "AAA000-ABCDEFGHIJKLMNOPQRSTUVWXYZ", "BBB000"}) {
        INFO(bad);
        const auto scheme = Scheme::fromPattern(bad);
        REQUIRE_FALSE(scheme);
        CHECK(scheme.error().code == Problem::BadInput);
    }
}

TEST_CASE("Letters can be ruled out, one after another", "[tag]") {
    const Scheme scheme = Scheme::learn("RKD 014")->withoutLetters("o").value().withoutLetters("IO").value();
    CHECK(scheme.pattern() == "AAA000-IO");
    CHECK_FALSE(scheme.allowsLetter('I'));
    CHECK(scheme.allowsLetter('R'));
    CHECK_FALSE(scheme.allowsLetter('r'));
    CHECK_FALSE(scheme.admits(code("RKO 014")));
    CHECK(scheme.withAllLetters() == schemeOf("AAA000"));
    CHECK(schemeOf("AAA000").withoutLetters("I0").error().code == Problem::BadInput);
    CHECK(schemeOf("AAA000").withoutLetters("ABCDEFGHIJKLMNOPQRSTUVWXYZ").error().code == Problem::BadInput);
    CHECK(schemeOf("000000").withoutLetters("IO") == schemeOf("000000"));
}

TEST_CASE("Counting goes through the digits, then over the letters", "[tag]") {
    CHECK(after("AAA000", "RKD 014") == "RKD 015");
    CHECK(after("AAA000", "RKD 999") == "RKE 000");
    CHECK(after("AAA000", "RKZ 999") == "RLA 000");
    CHECK(after("AAA000", "ZZZ 998") == "ZZZ 999");
    CHECK(after("AAA000", "ZZZ 999") == "none");
    CHECK(after("AAA000", "RKD 014", 0) == "RKD 014");
    CHECK(after("AAA000", "ZZZ 999", 0) == "ZZZ 999");
    CHECK(after("AAA000", "RKD 990", 35) == "RKE 025");
    CHECK(after("AAA000", "RKD 990", ~std::uint64_t{0}) == "none");
    CHECK(after("AAA000-IO", "RKH 999") == "RKJ 000");
    CHECK(after("AAA000-IO", "RKN 999") == "RKP 000");
    CHECK(after("000000", "000999") == "001000");
    CHECK(after("AAA000", "ABCD 123") == "none");
    CHECK(after("AAA000-IO", "RKO 123") == "none");
}

TEST_CASE("A scheme knows how many codes it has and where each stands", "[tag]") {
    CHECK(schemeOf("AAA000").capacity() == 17'576'000);
    CHECK(schemeOf("AAA000-IO").capacity() == 24 * 24 * 24 * 1000);
    CHECK(schemeOf("AAAAAA000000000").capacity() == 308'915'776'000'000'000);
    CHECK(schemeOf("AAA000").ordinal(code("AAA 000")) == 0);
    CHECK(schemeOf("AAA000").ordinal(code("AAB 001")) == 1001);
    CHECK(schemeOf("AAA000").ordinal(code("ZZZ 999")) == 17'575'999);
    CHECK(schemeOf("AAA000").ordinal(code("ABCD 123")) == schemeOf("AAA000").capacity());
}

TEST_CASE("The next code is the next ordinal and stands later, in any scheme", "[tag]") {
    REQUIRE(rc::check([] {
        const Scheme scheme = schemeOf(*rc::gen::elementOf(kPatterns));
        const auto o = *rc::gen::inRange<std::uint64_t>(0, scheme.capacity());
        const auto step = *rc::gen::inRange<std::uint64_t>(1, 2000);
        const Code here = scheme.at(o);
        RC_ASSERT(scheme.admits(here));
        RC_ASSERT(scheme.ordinal(here) == o);
        const auto next = scheme.next(here);
        RC_ASSERT(next.has_value() == (o + 1 < scheme.capacity()));
        if (next) {
            RC_ASSERT(*next > here);
            RC_ASSERT(scheme.ordinal(*next) == o + 1);
        }
        const auto later = scheme.next(here, step);
        RC_ASSERT(later.has_value() == (o + step < scheme.capacity()));
        if (later)
            RC_ASSERT(scheme.ordinal(*later) == o + step);
    }));
}

TEST_CASE("Counting a small scheme through gives every code once", "[tag]") {
    const Scheme scheme = schemeOf("A00-IO");
    std::unordered_set<Code> seen;
    for (std::optional<Code> c = scheme.at(0); c; c = scheme.next(*c))
        CHECK(seen.insert(*c).second);
    CHECK(seen.size() == scheme.capacity());
    CHECK(seen.count(code("I 00")) == 0);
}
