#include "core/tag/run.h"

#include "catch_compat.hpp"

#include <rapidcheck.h>

#include <set>
#include <string>
#include <vector>

using namespace discal::tag;
using Problem = discal::Code;

namespace {

Code code(std::string_view text) {
    return Code::fromText(text).value();
}
Scheme schemeOf(std::string_view pattern) {
    return Scheme::fromPattern(pattern).value();
}
Run run(std::string_view first, std::string_view last) {
    return parseRun(first, last).value();
}
Run runIn(std::string_view pattern, std::string_view first, std::string_view last) {
    return parseRun(schemeOf(pattern), first, last).value();
}

template <class R>
std::string texts(const R& runs) {
    std::string out;
    for (const Run& r : runs)
        out += (out.empty() ? "" : ", ") + r.text();
    return out;
}

std::set<Code> codesOf(const std::vector<Run>& runs) {
    std::set<Code> out;
    for (const Run& r : runs) {
        for (std::uint32_t i = 0; i < r.count; ++i)
            out.insert(r.at(i));
    }
    return out;
}
std::set<Code> codesOf(const RunSet& set) {
    return codesOf(set.runs());
}

/// Runs in small schemes of two shapes, two of them meeting in one shape, so that overlaps are common.
Run anyRun() {
    const Scheme scheme = schemeOf(*rc::gen::element<std::string>("AA0", "AA0-BD", "AA0-ACE", "000"));
    const auto first = *rc::gen::inRange<std::uint64_t>(0, 120);
    const auto count = *rc::gen::inRange<std::uint32_t>(1, 60);
    return makeRun(scheme, first, count).value();
}

} // namespace

TEST_CASE("A run is entered by its first code and its length, or its last code", "[tag]") {
    CHECK(parseRun("rkd 001", 25)->text() == "RKD 001-025");
    CHECK(parseRun("RKD 001", "RKD 025")->count == 25);
    CHECK(parseRun("RKD 001", "025").value() == parseRun("RKD 001", 25).value());
    CHECK(parseRun("RKD 990", "rke014")->text() == "RKD 990-RKE 014");
    CHECK(parseRun("RKD 001", 1)->text() == "RKD 001");
    CHECK(parseRun("123456", "123480")->text() == "123456-123480");
    CHECK(parseRun(schemeOf("AAA000-IO"), "RKN 999", 2)->last().text() == "RKP 000");
    CHECK(parseRun(schemeOf("AAA000"), "RKD O01", "025")->text() == "RKD 001-025");
}

TEST_CASE("A run that cannot be is refused with what is wrong", "[tag]") {
    const auto detail = [](const discal::Result<Run>& r) { return r ? "fine" : r.error().detail; };
    const auto problem = [](const discal::Result<Run>& r) { return r.error().code; };
    CHECK(detail(parseRun("RKD 001", 0)) == "count");
    CHECK(detail(parseRun("RKD 001", 10'001)) == "count");
    CHECK(parseRun("RKD 001", 10'000)->last().text() == "RKN 000");
    CHECK(detail(parseRun("ZZZ 990", 11)) == "last");
    CHECK(parseRun("ZZZ 990", 10)->last().text() == "ZZZ 999");
    CHECK(detail(parseRun("RKD 025", "RKD 001")) == "last");
    CHECK(detail(parseRun("RKD 001", "SKD 025")) == "count");
    CHECK(problem(parseRun("RKD", 5)) == Problem::NotACode);
    CHECK(problem(parseRun("RKD 001", "ABCD 025")) == Problem::NotACode);
    CHECK(problem(parseRun("RKD 001", "RKD 25")) == Problem::AmbiguousCode);
    CHECK(problem(parseRun("RKD 001", "25")) == Problem::NotACode);
    const Scheme widest = schemeOf("AAAAAA000000000");
    CHECK(detail(makeRun(widest, ~std::uint64_t{0}, 1)) == "first");
    CHECK(detail(makeRun(widest, widest.capacity() - 1, 2)) == "last");
    CHECK(makeRun(widest, widest.capacity() - 1, 1)->last().text() == "ZZZZZZ 999999999");
}

TEST_CASE("A run that was put together wrongly does no harm", "[tag]") {
    const Scheme scheme = schemeOf("AAA000");
    const Run beyond{scheme, ~std::uint64_t{0}, ~std::uint32_t{0}};
    const Run over{scheme, scheme.capacity() - 5, ~std::uint32_t{0}};
    CHECK_FALSE(beyond.isValid());
    CHECK_FALSE(over.isValid());
    CHECK_FALSE(beyond.contains(code("RKD 001")));
    CHECK(over.contains(code("ZZZ 999")));
    CHECK_FALSE(beyond.intersect(over));
    CHECK(over.subtract(beyond).front().count == 5);
}

TEST_CASE("A run knows its codes", "[tag]") {
    const Run sheet = run("RKD 990", "RKE 014");
    CHECK(sheet.isValid());
    CHECK(sheet.at(0) == code("RKD 990"));
    CHECK(sheet.at(10) == code("RKE 000"));
    CHECK(sheet.last() == code("RKE 014"));
    CHECK(sheet.contains(code("RKE 014")));
    CHECK_FALSE(sheet.contains(code("RKE 015")));
    CHECK_FALSE(sheet.contains(code("RKD 989")));
    CHECK_FALSE(sheet.contains(code("ABCD 990")));
}

TEST_CASE("Runs are cut and overlaid", "[tag]") {
    const Run sheet = run("RKD 001", "025");
    CHECK(sheet.intersect(run("RKD 020", "030"))->text() == "RKD 020-025");
    CHECK_FALSE(sheet.intersect(run("RKD 026", "030")));
    CHECK_FALSE(sheet.intersect(run("ABCD 001", "025")));
    CHECK(texts(sheet.subtract(run("RKD 010", "012"))) == "RKD 001-009, RKD 013-025");
    CHECK(texts(sheet.subtract(run("RKD 001", "012"))) == "RKD 013-025");
    CHECK(texts(sheet.subtract(run("RKC 990", "RKD 030"))).empty());
    CHECK(texts(sheet.subtract(run("ABCD 001", "025"))) == "RKD 001-025");
    SECTION("where one scheme leaves letters out, that run only has the others") {
        const Run all = run("RKN 998", "RKP 001");
        const Run withoutO = runIn("AAA000-IO", "RKN 998", "RKP 001");
        CHECK(all.count == 1004);
        CHECK(withoutO.count == 4);
        CHECK(all.intersect(withoutO) == withoutO);
        CHECK(texts(all.subtract(withoutO)) == "RKO 000-999");
        CHECK(withoutO.subtract(all).empty());
    }
}

TEST_CASE("A holder's set of codes grows and shrinks by sheets and single tags", "[tag]") {
    RunSet held;
    CHECK(held.isEmpty());
    held.add(run("RKD 001", "025"));
    held.add(run("ABCD 100", "109"));
    held.add(run("RKD 026", "050"));
    CHECK(texts(held.runs()) == "RKD 001-050, ABCD 100-109");
    CHECK(held.count() == 60);
    held.remove(code("RKD 010"));
    CHECK_FALSE(held.contains(code("RKD 010")));
    CHECK(texts(held.runs()) == "RKD 001-009, RKD 011-050, ABCD 100-109");
    held.add(code("RKD 010"));
    held.remove(run("ABCD 001", "500"));
    CHECK(texts(held.runs()) == "RKD 001-050");
    held.remove(held);
    CHECK(held == RunSet{});
}

TEST_CASE("A code counts once though two descriptions of one maker bring it in", "[tag]") {
    RunSet held;
    held.add(run("RKN 998", "RKN 999"));
    held.add(runIn("AAA000-IO", "RKN 999", "RKP 001"));
    CHECK(texts(held.runs()) == "RKN 998-999, RKP 000-001");
    held.remove(runIn("AAA000-IO", "RKN 998", "RKP 001"));
    CHECK(held.isEmpty());
}

TEST_CASE("A long set comes back in runs of legal length", "[tag]") {
    RunSet held;
    held.add(parseRun("AAA 000", 10'000).value());
    held.add(parseRun("AAK 000", 5'000).value());
    REQUIRE(held.runs().size() == 2);
    CHECK(held.runs()[0].count == kMaxRunLength);
    CHECK(held.count() == 15'000);
    RunSet other;
    for (const Run& r : held.runs())
        other.add(r);
    CHECK(other == held);
}

TEST_CASE("Cutting and overlaying runs does what sets of codes do", "[tag]") {
    REQUIRE(rc::check([] {
        const Run a = anyRun();
        const Run b = anyRun();
        const std::set<Code> codesOfA = codesOf({a});
        std::set<Code> shared;
        std::set<Code> left;
        for (const Code& c : codesOfA)
            (b.contains(c) ? shared : left).insert(c);
        const auto both = a.intersect(b);
        RC_ASSERT(both.has_value() == !shared.empty());
        if (both) {
            RC_ASSERT(both->isValid());
            RC_ASSERT(codesOf({*both}) == shared);
        }
        const auto rest = a.subtract(b);
        RC_ASSERT(codesOf(rest) == left);
        for (const Run& r : rest)
            RC_ASSERT(r.isValid() && r.scheme == a.scheme);
    }));
}

TEST_CASE("A set of runs does what a set of codes does, in any order of acts", "[tag]") {
    REQUIRE(rc::check([] {
        RunSet set;
        std::set<Code> model;
        const auto acts = *rc::gen::inRange(0, 25);
        for (int i = 0; i < acts; ++i) {
            const Run r = anyRun();
            const std::set<Code> codes = codesOf({r});
            switch (*rc::gen::inRange(0, 4)) {
            case 0:
            case 1:
                set.add(r);
                model.insert(codes.begin(), codes.end());
                break;
            case 2:
                set.remove(r);
                for (const Code& c : codes)
                    model.erase(c);
                break;
            default:
                set.remove(r.last());
                model.erase(r.last());
            }
            RC_ASSERT(set.contains(r.at(0)) == (model.count(r.at(0)) == 1));
        }
        RC_ASSERT(codesOf(set) == model);
        RC_ASSERT(set.count() == model.size());
        RC_ASSERT(set.isEmpty() == model.empty());

        RunSet oneByOne;
        for (const Code& c : model)
            oneByOne.add(c);
        RC_ASSERT(oneByOne == set);

        RunSet other;
        for (int i = 0; i < 3; ++i)
            other.add(anyRun());
        std::set<Code> shared;
        std::set<Code> left;
        for (const Code& c : model)
            (other.contains(c) ? shared : left).insert(c);
        RC_ASSERT(codesOf(set.intersect(other)) == shared);
        RC_ASSERT(set.intersect(other) == other.intersect(set));
        RunSet rest = set;
        rest.remove(other);
        RC_ASSERT(codesOf(rest) == left);
        rest.add(set.intersect(other));
        RC_ASSERT(rest == set);
    }));
}
