// Copies that are made without being asked for: when, under what name, for how long, and what must not be in
// them.

#include "services/safe_copies.h"

#include "services/desk.h"

#include "catch_compat.hpp"

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <sys/mount.h>

using namespace discal;
using namespace discal::tests;
using services::SafeCopies;

namespace {

namespace fs = std::filesystem;

/// Names in the folder of copies, in order.
std::vector<std::string> namesIn(const SafeCopies& copies) {
    std::vector<std::string> out;
    if (fs::exists(copies.folder()))
        for (const auto& entry : fs::directory_iterator(copies.folder()))
            out.push_back(entry.path().filename().string());
    std::sort(out.begin(), out.end());
    return out;
}

/// How many files below the journal's folder hold the text.
int filesWith(Desk& desk, const std::string& text) {
    int files = 0;
    for (const auto& entry :
         fs::recursive_directory_iterator(desk.journal().file().place().database.parent_path()))
        files += entry.is_regular_file() && readFile(entry.path()).find(text) != std::string::npos ? 1 : 0;
    return files;
}

std::unique_ptr<storage::Journal> opened(const fs::path& copy) {
    return need(storage::Journal::openForReading(storage::Place(copy)));
}

/// Writes `lines` lines.
void work(Desk& desk, int lines) {
    const auto until = desk.journal().head().seq + lines;
    while (desk.journal().head().seq < until)
        need(desk.station().site({"Ridge meadow", std::nullopt, 0}));
}

constexpr std::chrono::hours kDay{24};

} // namespace

TEST_CASE("A copy is made every fifty lines and at a session's end, and is a whole journal",
          "[services][copies]") {
    Desk desk;
    SafeCopies copies(desk.journal(), desk.clock);
    work(desk, 49 - static_cast<int>(desk.journal().head().seq));
    CHECK_FALSE(need(copies.afterCommit()));
    CHECK(namesIn(copies).empty());
    work(desk, 1);
    const auto made = need(copies.afterCommit());
    REQUIRE(made);
    CHECK(made->filename().string() == "2026-09-05T133000Z-" + desk.journal().device().text() + "-50.discal");
    CHECK(namesIn(copies).size() == 1);
    CHECK_FALSE(need(copies.afterCommit()));
    CHECK_FALSE(need(copies.atSessionEnd())); // not a line since
    desk.pass(kDay);
    work(desk, 1);
    CHECK_FALSE(need(copies.afterCommit()));
    // The program that goes on finds the copy by its name.
    desk.restart();
    SafeCopies again(desk.journal(), desk.clock);
    const auto atEnd = need(again.atSessionEnd());
    REQUIRE(atEnd);
    CHECK(namesIn(again).size() == 2);
    const auto copy = opened(*atEnd);
    CHECK(need(copy->file().verify()).isSound());
    CHECK(need(copy->file().chain(desk.journal().device()))->head == desk.journal().head());
    CHECK(need(copy->projections().dump()) == need(desk.projections().dump()));
}

TEST_CASE("A copy goes after ninety days, but the newest never does", "[services][copies]") {
    Desk desk;
    SafeCopies copies(desk.journal(), desk.clock);
    const auto first = need(copies.atSessionEnd()).value();
    work(desk, 1);
    desk.pass(89 * kDay);
    const auto second = need(copies.atSessionEnd()).value();
    CHECK(fs::exists(first));
    // What is none of ours stays.
    std::ofstream(copies.folder() / "read me.txt") << "mine";
    std::ofstream(copies.folder() / "2026-01-01T000000Z-mine-1.discal") << "mine";
    work(desk, 1);
    desk.pass(2 * kDay);
    const auto third = need(copies.atSessionEnd()).value();
    CHECK_FALSE(fs::exists(first));
    CHECK(fs::exists(second));
    desk.pass(1000 * kDay);
    CHECK_FALSE(need(copies.atSessionEnd())); // nothing was written, so nothing goes
    CHECK(fs::exists(second));
    work(desk, 1);
    // A clock that is years ahead, and right again: the copy with the newest lines stays.
    const auto ahead = need(copies.atSessionEnd()).value();
    CHECK_FALSE(fs::exists(third));
    CHECK(namesIn(copies).size() == 3);
    desk.clock.setSkew(-2000 * kDay);
    work(desk, 1);
    const auto behind = need(copies.atSessionEnd()).value();
    CHECK(fs::exists(behind));
    CHECK(fs::exists(ahead));
    desk.clock.setSkew({});
    CHECK_FALSE(need(copies.atSessionEnd()));
    CHECK(fs::exists(behind));
}

TEST_CASE("A copy that somebody wrote in is left to them", "[services][copies]") {
    Desk desk;
    SafeCopies copies(desk.journal(), desk.clock);
    const auto first = need(copies.atSessionEnd()).value();
    {
        storage::Journal::WriteOptions options;
        options.program = "somebody";
        options.newSeed = [] { return std::array<std::uint8_t, 32>{7}; };
        (void)need(storage::Journal::openForWriting(storage::Place(first), options));
    }
    desk.pass(100 * kDay);
    work(desk, 1);
    need(copies.atSessionEnd());
    CHECK(fs::exists(first));
}

TEST_CASE("A copy that was interrupted leaves nothing behind", "[services][copies]") {
    Desk desk;
    SafeCopies copies(desk.journal(), desk.clock);
    const auto first = need(copies.atSessionEnd()).value();
    for (const char* suffix : {".part", ".part-journal"})
        std::ofstream(first.string() + suffix) << "half";
    CHECK(need(copies.afterCommit()) == std::nullopt);
    work(desk, 1);
    desk.pass(kDay);
    need(copies.atSessionEnd());
    CHECK(namesIn(copies).size() == 2);
}

TEST_CASE("A copy that can't be made is an error that loses nothing, and is tried again",
          "[services][copies]") {
    Desk desk;
    SafeCopies copies(desk.journal(), desk.clock);
    std::ofstream(copies.folder()) << "a file in the way";
    work(desk, 3);
    const auto made = copies.atSessionEnd();
    REQUIRE_FALSE(made);
    CHECK(made.error().detail == copies.folder().string());
    work(desk, 1);
    CHECK(need(desk.journal().file().verify()).isSound());
    fs::remove(copies.folder());
    CHECK(need(copies.atSessionEnd()));
}

TEST_CASE("A disk without room for a copy keeps the ones that are there, and no half one",
          "[services][copies]") {
    Desk desk;
    SafeCopies copies(desk.journal(), desk.clock);
    // Only the copies are on it: the journal's own room has tests of its own (tests/crash).
    const TemporaryFolder small;
    if (::mount("tmpfs", small.path().c_str(), "tmpfs", 0, "size=256k") != 0) {
        WARN("skipped: no right to mount a small disk");
        return;
    }
    fs::create_directory_symlink(small.path(), copies.folder());
    const auto first = need(copies.atSessionEnd()).value();
    std::ofstream(small.path() / "full") << std::string(1'000'000, 'x');
    work(desk, 1);
    desk.pass(200 * kDay);
    const auto made = copies.atSessionEnd();
    REQUIRE_FALSE(made);
    CHECK(made.error().code == Code::DiskFull);
    CHECK(namesIn(copies) == std::vector<std::string>{first.filename().string(), "full"});
    CHECK(need(opened(first)->file().verify()).isSound());
    fs::remove(small.path() / "full");
    CHECK(need(copies.afterCommit()) == std::nullopt);
    CHECK(need(copies.atSessionEnd()));
    ::umount2(small.path().c_str(), MNT_DETACH);
}

TEST_CASE("What is erased is gone from all copies", "[services][copies]") {
    const std::string text = "W.Q. of the ridge";
    Desk desk;
    SafeCopies copies(desk.journal(), desk.clock);
    desk.receiveSheet();
    const auto person = need(desk.station().person(text)).id;
    need(desk.station().person("somebody else"));
    desk.writer().setRecorder(person);
    const auto first = need(copies.atSessionEnd()).value();
    desk.note();
    desk.pass(kDay);
    const auto second = need(copies.atSessionEnd()).value();
    REQUIRE(readFile(first).find(text) != std::string::npos);
    REQUIRE(readFile(second).find(text) != std::string::npos);
    const auto damaged =
        second.parent_path() / ("2026-09-05T120000Z-" + desk.journal().device().text() + "-1.discal");
    const bool withDamaged = GENERATE(false, true);
    if (withDamaged) {
        fs::copy_file(second, damaged);
        std::fstream(damaged, std::ios::binary | std::ios::in | std::ios::out)
            .write("not a database, no longer", 25);
    }
    need(desk.amending().erasePerson(person, "asked"));
    desk.pass(kDay);
    SECTION("after the commit") {
        CHECK((need(copies.afterCommit()) == std::nullopt));
    }
    SECTION("at the session's end, in another run of the program") {
        desk.restart();
        const bool isNewMade = need(SafeCopies(desk.journal(), desk.clock).atSessionEnd()).has_value();
        CHECK(isNewMade != withDamaged);
    }
    CHECK(filesWith(desk, text) == 0);
    CHECK_FALSE(fs::exists(damaged));
    CHECK(filesWith(desk, "somebody else") >= 3);
    for (const auto& copy : {first, second})
        CHECK(need(opened(copy)->file().verify()).isSound());
    CHECK(need(opened(first)->projections().butterflyCount()) == 0);
    CHECK(need(opened(second)->projections().butterflyCount()) == 1);
}

TEST_CASE("What an office erased is gone from the copies of a phone that hears of it", "[services][copies]") {
    const std::string text = "W.Q. of the ridge";
    Desk office("office");
    Desk phone("phone");
    need(office.station().found("Thistledown Ridge Nature Centre"));
    const auto person = need(phone.station().person(text)).id;
    exchange(phone, office);
    SafeCopies copies(phone.journal(), phone.clock);
    need(copies.atSessionEnd());
    REQUIRE(filesWith(phone, text) >= 2);
    need(office.amending().erasePerson(person, "asked"));
    exchange(office, phone);
    need(copies.afterCommit());
    CHECK(filesWith(phone, text) == 0);
    CHECK(namesIn(copies).size() == 1);
}
