#include "catch_compat.hpp"
#include "core/text/base_n.h"
#include "desk.h"

using namespace discal;
using namespace discal::tests;
using journal::Kind;
using services::SavedLine;

TEST_CASE("A chain begins with device.started, once", "[services]") {
    Desk desk;
    REQUIRE(desk.journal().head().seq == 1);
    const auto line = desk.lineOf({1, {}, {}, {}});
    CHECK(line.kind == "device.started");
    CHECK(journal::textIn(line.body, "name") == "A");
    CHECK_FALSE(line.body.contains("sample"));
    CHECK(need(desk.writer().ensureStarted({"again", "tests", {}})).lines.empty());
    desk.restart();
    CHECK(need(desk.writer().ensureStarted({"again", "tests", {}})).lines.empty());
    CHECK(desk.journal().head().seq == 1);
}

TEST_CASE("The lines of one tap share its act, and follow each other in the order", "[services]") {
    Desk desk;
    auto commit = desk.writer().begin();
    const auto first = commit.add(Kind::LotStarted, {commit.newId()}, {{"name", "one"}});
    commit.add(Kind::LotStarted, {commit.newId()}, {{"name", "two"}});
    commit.newAct();
    const auto third = commit.add(Kind::LotStarted, {commit.newId()}, {{"name", "three"}});
    const auto saved = need(commit.save());
    REQUIRE(saved.lines.size() == 3);
    CHECK(saved.lines[0].act == first);
    CHECK(saved.lines[1].act == first);
    CHECK(saved.lines[2].act == third);
    CHECK(saved.act() == third);
    CHECK(saved.lines[2].seq == 4);
    CHECK(desk.lineOf(saved.lines[0]).lamport == 2);
    CHECK(desk.lineOf(saved.lines[2]).lamport == 4);
    CHECK(commit.isEmpty());
}

TEST_CASE("A line says who wrote it and what the phone's clocks said", "[services]") {
    Desk desk;
    const auto person = need(desk.station().person("MH")).id;
    desk.writer().setRecorder(person);
    desk.pass(std::chrono::minutes(5));
    desk.clock.setSkew(std::chrono::hours(2));
    const auto saved = need(desk.station().lot({"one", "egg", 3}).map([](auto made) { return made.saved; }));
    const auto line = desk.lineOf(saved.lines[0]);
    CHECK(line.by == person);
    CHECK(time::formatUtc(line.at) == "2026-09-05T15:35:00.000Z");
    CHECK(line.offset == std::chrono::hours(-5));
    CHECK(line.zone == "America/Chicago");
    CHECK(line.boot == "A-1");
    CHECK(line.upMs == (24 * 60 + 5) * 60'000);
}

TEST_CASE("Nothing is told as saved before the commit returned, nor when it failed", "[services]") {
    Desk desk;
    std::vector<std::int64_t> heads;
    std::vector<std::string> told;
    desk.writer().onSaved = [&](const SavedLine& line) {
        heads.push_back(need(desk.journal().file().chain(desk.journal().device()))->head.seq);
        told.push_back(line.kind);
    };
    auto commit = desk.writer().begin();
    int remembered = 0;
    commit.whenSaved([&] { ++remembered; });
    commit.add(Kind::LotStarted, {commit.newId()}, {{"name", "one"}});
    commit.add(Kind::LotStarted, {commit.newId()}, {{"name", "two"}});
    need(commit.save());
    CHECK(heads == std::vector<std::int64_t>{3, 3});
    CHECK(told == std::vector<std::string>{"lot.started", "lot.started"});
    CHECK(remembered == 1);

    auto tooLong = desk.writer().begin();
    tooLong.whenSaved([&] { ++remembered; });
    tooLong.add(Kind::LotStarted, {tooLong.newId()}, {{"name", "short"}});
    tooLong.add(Kind::LotStarted, {tooLong.newId()}, {{"name", std::string(17'000, 'x')}});
    const auto refused = tooLong.save();
    REQUIRE_FALSE(refused);
    CHECK(refused.error().code == Code::LineTooLong);
    CHECK(desk.journal().head().seq == 3);
    CHECK(told.size() == 2);
    CHECK(remembered == 1);
}

TEST_CASE("A text is kept beside the lines, with salt, so that equal texts don't show", "[services]") {
    Desk desk;
    auto commit = desk.writer().begin();
    const auto one = need(commit.keep("MH"));
    const auto two = need(commit.keep("MH"));
    CHECK(journal::textIn(one, "blob") != journal::textIn(two, "blob"));
    const auto tooMuch = commit.keep(std::string(storage::kLargestBlobContent + 1, 'x'));
    REQUIRE_FALSE(tooMuch);
    CHECK(tooMuch.error().code == Code::OutOfRange);
    commit.add(Kind::PersonNamed, {commit.newId()}, {{"initials", one}});
    need(commit.save());
    const auto hash = need(journal::hashFromHex(*journal::textIn(one, "blob")));
    CHECK(need(desk.journal().file().blob(hash))->content() == "MH");
}

TEST_CASE("Seeded randomness is SHA-256 in counter mode", "[services][sample]") {
    // From Python 3.11 hashlib: k = sha256(b"discal sample 1\nlines of A\n905"); sha256(k + n.to_bytes(8,
    // "big")), n = 0, 1, 2.
    services::sample::SeededRandomness randomness(905, "lines of A");
    std::array<std::uint8_t, 74> bytes{};
    randomness.fill(std::span(bytes).first(10));
    randomness.fill(std::span(bytes).subspan(10));
    CHECK(text::hex(std::span(bytes).first(10)) == "f9909dd4245e6d2e891c");
    CHECK(text::hex(std::span(bytes).subspan(28, 12)) == "d91170d5eac7f17fb368c16b");
    CHECK(text::hex(std::span(bytes).subspan(70, 4)) == "5e02f178");
    services::sample::SeededRandomness other(905, "lines of B");
    CHECK(other.bytes<16>() != services::sample::SeededRandomness(905, "lines of A").bytes<16>());
}

TEST_CASE("Seeded numbers stay below their bound and about the mean that is asked for",
          "[services][sample]") {
    services::sample::SeededRandomness dice(7, "test");
    std::int64_t sum = 0;
    std::int64_t squares = 0;
    for (int i = 0; i < 20'000; ++i) {
        REQUIRE(dice.below(6) < 6);
        const std::int64_t n = dice.about0(1'000);
        sum += n;
        squares += n * n;
    }
    // Standard error of the mean is 1000 / sqrt(20000) = 7; of the variance 1 %. Four times that.
    CHECK(std::abs(sum / 20'000) < 29);
    CHECK(std::abs(squares / 20'000 - 1'000'000) < 40'000);
}
