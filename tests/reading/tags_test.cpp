#include "catch_compat.hpp"
#include "reading/disc_finder.h"
#include "reading/drawn/reading_round.h"
#include "reading/glyph_network.h"
#include "reading/reader.h"
#include "reading/strip.h"

#include <cmath>
#include <iostream>

using namespace discal;
using drawn::List;
using drawn::Round;
using drawn::Tier;
using services::Frame;
using services::Refusal;
using services::Verdict;

namespace {

/// One for all tests: making it takes a second.
services::CodeReader& reader() {
    static const auto made = reading::makeReader();
    REQUIRE(made);
    return **made;
}

/// How many of the tags must be accepted at least, of so many. Frames are drawn, in typefaces that the network never saw, and are
/// none of those that the reader was tuned with; how it reads photographs isn't known. Larger rounds: bench/read_tags.
struct Row {
    Round round;
    int accepted;
    int unlisted;
};

const Row kTable[]{
    {{Tier::Clean, List::Listed, 8, 1, 1'200'000}, 7, 0},   {{Tier::Field, List::Listed, 8, 1, 1'200'000}, 7, 0},
    {{Tier::Hard, List::Listed, 8, 1, 1'200'000}, 5, 0},    {{Tier::Hard, List::Listed, 2, 5, 1'200'100}, 1, 0},
    {{Tier::Clean, List::Unlisted, 3, 1, 1'200'200}, 0, 2}, {{Tier::Hard, List::Unlisted, 3, 1, 1'200'200}, 0, 1},
    {{Tier::Field, List::Neighbours, 4, 1, 1'200'300}, 0, 3}, {{Tier::Hard, List::Neighbours, 4, 1, 1'200'300}, 0, 1},
};

Frame even(int width, int height, std::uint8_t grey) {
    return {width, height, std::vector<std::uint8_t>(3 * static_cast<std::size_t>(width) * static_cast<std::size_t>(height), grey)};
}

} // namespace

TEST_CASE("Drawn tags are read, and none is taken for another of the list", "[reading]") {
    for (const auto& row : kTable) {
        const auto tally = drawn::play(row.round, reader());
        std::cout << drawn::tierName(row.round.tier) << ", list " << static_cast<int>(row.round.list) << ", "
                  << row.round.frames << " frames: " << tally.accepted << " accepted, " << tally.unlisted
                  << " not on the list, " << tally.refused << " refused of " << tally.tags << '\n';
        CAPTURE(static_cast<int>(row.round.tier), static_cast<int>(row.round.list), row.round.frames, tally.misreads);
        CHECK(tally.misread == 0);
        CHECK(tally.accepted >= row.accepted);
        CHECK(tally.unlisted >= row.unlisted);
        if (row.round.list != List::Listed)
            CHECK(tally.accepted == 0);
    }
}

TEST_CASE("What can't be read is refused", "[reading]") {
    const Round round{Tier::Field, List::Hindered, 10, 1, 200'400};
    const auto tally = drawn::play(round, reader());
    CHECK(tally.misread == 0);
    CHECK(tally.refused >= 8);
    CHECK(tally.rightReason >= 5);
}

TEST_CASE("Frames without a tag, or that are none, show nothing", "[reading]") {
    reader().expect({});
    for (const Frame& frame : {Frame{}, Frame{640, 480, {}}, Frame{-3, 7, {1, 2, 3}}, Frame{2, 2, {1, 2, 3}}, even(1, 1, 200),
                               even(3, 900, 10), even(320, 240, 0), even(320, 240, 255)}) {
        const auto reading = reader().look(frame);
        CHECK(reading.verdict == Verdict::Refused);
        CHECK(reading.why == Refusal::NoTag);
        CHECK(reading.text.empty());
        CHECK(reading.barcodes.empty());
    }
}

TEST_CASE("A look begins anew when something else is expected", "[reading]") {
    drawn::Options options{Tier::Clean, drawn::TypefaceSet::Tuning, "RKD 014", 0, {}};
    const auto drawn = drawn::drawFrame(200'501, options);
    const auto scheme = *tag::Scheme::learn("RKD 001");
    services::Wanted wanted;
    wanted.codes = {*tag::Code::fromText("RKD 014"), *tag::Code::fromText("RKD 015")};
    reader().expect(wanted);
    auto reading = reader().look(drawn.frame);
    REQUIRE(reading.verdict == Verdict::Accepted);
    CHECK(reading.code->text() == "RKD 014");
    CHECK(reading.confidence > 0.9);
    CHECK(reading.upright.width > 0);
    CHECK(reading.upright.rgb.size() == 3U * static_cast<std::size_t>(reading.upright.width) * static_cast<std::size_t>(reading.upright.height));

    wanted.codes = {*tag::Code::fromText("RKD 015")};
    wanted.schemes = {scheme};
    reader().expect(wanted);
    CHECK(reader().look(even(640, 480, 90)).verdict == Verdict::Refused);
    reading = reader().look(drawn.frame);
    CHECK(reading.verdict == Verdict::Unlisted);
    CHECK(reading.text == "RKD 014");

    wanted.hasTags = false;
    reader().expect(wanted);
    CHECK(reader().look(drawn.frame).text.empty());
}

TEST_CASE("The middle and size of a tag's disc are found", "[reading]") {
    int right = 0;
    for (std::uint64_t seed = 0; seed < 12; ++seed) {
        drawn::Options options;
        options.tier = Tier::Field;
        const auto drawn = drawn::drawFrame(200'600 + seed, options);
        for (const auto& disc : reading::findDiscs(drawn.frame, 5))
            if (std::hypot(disc.x - static_cast<float>(drawn.centre.x), disc.y - static_cast<float>(drawn.centre.y)) <
                    0.08 * drawn.diameter &&
                std::abs(2 * disc.major / static_cast<float>(drawn.diameter) - 1) < 0.12F) {
                ++right;
                break;
            }
    }
    CHECK(right >= 11);
}

TEST_CASE("A tag as pale as its sheet, or half in shade, is found by its edge", "[reading]") {
    // Seeds whose tags no threshold parts from the sheet.
    for (const std::uint64_t seed : {200'071U, 200'081U, 200'146U, 200'178U, 200'280U}) {
        drawn::Options options;
        options.tier = Tier::Clean;
        options.typefaces = drawn::TypefaceSet::Judging;
        options.code = "RKD 014";
        const auto drawn = drawn::drawFrame(seed, options);
        const auto discs = reading::findDiscs(drawn.frame, 1);
        INFO(seed);
        REQUIRE(discs.size() == 1);
        const double off = std::hypot(static_cast<double>(discs.front().x) - drawn.centre.x, static_cast<double>(discs.front().y) - drawn.centre.y);
        CHECK(off < 0.05 * drawn.diameter / 2);
        CHECK(static_cast<double>(2 * discs.front().major) == Approx(drawn.diameter).epsilon(0.05));
    }
}

TEST_CASE("Somebody else's tag is read though no code of ours is built like it", "[reading]") {
    const auto reader = reading::makeReader();
    REQUIRE(reader);
    services::Wanted wanted;
    for (int i = 1; i <= 25; ++i)
        wanted.codes.push_back(*tag::Code::fromText("RKD 0" + std::string(i < 10 ? "0" : "") + std::to_string(i)));
    int right = 0;
    for (std::uint64_t seed = 1; seed <= 4; ++seed) {
        drawn::Options options;
        options.tier = Tier::Clean;
        options.code = "WM 5283";
        (*reader)->expect(wanted);
        const auto reading = (*reader)->look(drawn::drawFrame(810'000 + seed, options).frame);
        CHECK(reading.verdict != services::Verdict::Accepted);
        right += reading.verdict == services::Verdict::Unlisted && reading.text == "WM 5283" ? 1 : 0;
    }
    CHECK(right >= 3);
}

TEST_CASE("Weights of another shape are refused", "[reading]") {
    CHECK_FALSE(reading::GlyphNetwork::fromBytes({}));
    std::vector<std::uint8_t> bytes(16 + 2 * 139'501, 0);
    CHECK_FALSE(reading::GlyphNetwork::fromBytes(bytes));
    const std::string head = "DISCALGN";
    std::copy(head.begin(), head.end(), bytes.begin());
    bytes[8] = 1;
    for (std::size_t i = 0; i < 4; ++i)
        bytes[12 + i] = static_cast<std::uint8_t>(139'501U >> (8 * i));
    CHECK(reading::GlyphNetwork::fromBytes(bytes));
    bytes[17] = 0x7c; // an infinite half
    CHECK_FALSE(reading::GlyphNetwork::fromBytes(bytes));
    bytes[17] = 0;
    bytes[8] = 2;
    CHECK_FALSE(reading::GlyphNetwork::fromBytes(bytes));
    bytes.pop_back();
    CHECK_FALSE(reading::GlyphNetwork::fromBytes(bytes));
}

TEST_CASE("The network takes strips of any width, and none that lies about its size", "[reading]") {
    const auto& network = reading::GlyphNetwork::own();
    for (const int width : {0, 1, 2, 3, 7, 64, 333}) {
        reading::Strip strip{width, std::vector<float>(static_cast<std::size_t>(width) * reading::kStripHeight, 0.0F)};
        CHECK(network.read(strip).size() == static_cast<std::size_t>(width / 2));
    }
    CHECK(network.read({64, {}}).empty());
    for (const auto& column : network.read({64, std::vector<float>(64 * reading::kStripHeight, 0.5F)})) {
        double sum = 0;
        for (const float value : column)
            sum += std::exp(static_cast<double>(value));
        CHECK(sum == Approx(1).epsilon(1e-4));
    }
}

TEST_CASE("With nothing wrong in n tries the bound of the share is 1 - 0.05^(1/n)", "[reading]") {
    // Clopper and Pearson 1934: for 0 of n the upper bound is exact; for 1 of 20, 0.2161 (their chart; R's binom.test, one
    // side of 95 %, from memory).
    for (const int n : {10, 300, 30'000})
        CHECK(drawn::upperBound(0, n) == Approx(1 - std::pow(0.05, 1.0 / n)).epsilon(1e-6));
    CHECK(drawn::upperBound(1, 20) == Approx(0.2161).epsilon(1e-3));
}
