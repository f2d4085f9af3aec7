// A byte that changed by itself: found before anything is written after it, or at the latest before a copy
// leaves.

#include "storage/journal_maker.h"

#include "crash/simulated_disk.h"

#include "catch_compat.hpp"
#include "reference.h"

#include <SQLiteCpp/SQLiteCpp.h>
#include <algorithm>
#include <filesystem>
#include <fstream>
#include <set>

using namespace discal;
using namespace discal::tests;
using storage::Journal;
using storage::Place;

namespace {

const std::string kFile = "/disk/a.discal";
using Bytes = std::vector<std::uint8_t>;

void flipBit(Bytes& bytes, std::size_t at, std::size_t bit) {
    bytes[at] = static_cast<std::uint8_t>(bytes[at] ^ (1U << bit));
}

/// Every place where `text` stands: pages that were split keep old copies of cells in their free room.
std::vector<std::size_t> placesOf(const Bytes& bytes, const std::string& text) {
    std::vector<std::size_t> out;
    for (auto from = bytes.begin();; ++from) {
        from = std::search(from, bytes.end(), text.begin(), text.end());
        if (from == bytes.end())
            return out;
        out.push_back(static_cast<std::size_t>(from - bytes.begin()));
    }
}

/// A journal of two chains that is closed and wholly in its file.
struct Sample {
    SideFolder folder;
    SimulatedDisk disk;
    Place place{kFile, folder.path() / "a", disk.name()};
    Bytes intact;
    std::vector<std::string> lines;
    std::vector<std::string> own;
    std::string mark;

    explicit Sample(int notes) {
        {
            SimulatedDisk otherDisk;
            const auto other = openWriter(Place("/disk/o.discal", folder.path() / "o", otherDisk.name()), 2);
            JournalMaker theirs(*other, 2);
            theirs.started();
            for (int i = 0; i < 10; ++i)
                theirs.note("ABC " + std::to_string(100 + i));

            const auto journal = openWriter(place, 1);
            JournalMaker maker(*journal, 1);
            maker.started();
            maker.named("the initials of somebody");
            for (int i = 0; i < notes; ++i)
                maker.note("RKD " + std::to_string(1000 + i).substr(1));
            (void)good(journal->receive(delivery(*other, other->device())));
            lines = linesOf(journal->file());
            good(journal->file().visit(journal->device(), 1, [&](auto, std::string_view line, const auto&) {
                own.emplace_back(line);
                return true;
            }));
        }
        intact = disk.bytes(kFile);
        mark = readFile(place.mark());
    }

    void set(const Bytes& bytes) {
        disk.setBytes(kFile, bytes);
        disk.remove(kFile + "-wal");
        disk.remove(place.state().string());
        disk.remove(place.state().string() + "-wal");
        std::ofstream(place.mark(), std::ios::binary | std::ios::trunc) << mark;
    }
};

/// A piece of a line that stands on one page: the middle of its id.
std::string idOf(const std::string& line) {
    return line.substr(line.find("\"id\":\"") + 6, 36);
}

} // namespace

TEST_CASE("A byte flipped in any of the last lines is found at opening, and nothing is touched",
          "[storage]") {
    Sample sample(60);
    Choices choices(5);
    // All of a short journal is "the last 1,000 lines".
    for (const std::string& line : sample.own) {
        Bytes damaged = sample.intact;
        const std::size_t byte = choices.below(36);
        const std::size_t bit = choices.below(8);
        const auto places = placesOf(damaged, idOf(line));
        REQUIRE_FALSE(places.empty());
        for (const std::size_t at : places)
            flipBit(damaged, at + byte, bit);
        sample.set(damaged);
        const auto opened = Journal::openForWriting(sample.place, writeOptions(9));
        REQUIRE_FALSE(opened);
        CHECK(opened.error().code == Code::Corrupt);
        CHECK(opened.error().number ==
              1 + (std::find(sample.own.begin(), sample.own.end(), line) - sample.own.begin()));
        CHECK(opened.error().detail.find("line") != std::string::npos);
        CHECK(sample.disk.bytes(kFile) == damaged);
        CHECK(readFile(sample.place.mark()) == sample.mark);
        // It can still be read, for salvage.
        const auto reader = Journal::openForReading(sample.place);
        REQUIRE(reader);
        CHECK_FALSE(good((*reader)->file().verify()).isSound());
    }
}

TEST_CASE("A byte flipped before the last 1,000 lines is found before a backup leaves", "[storage]") {
    const TemporaryFolder folder;
    const Place place(folder.path() / "a.discal");
    std::string first;
    {
        const auto journal = openWriter(place, 1);
        JournalMaker maker(*journal, 1);
        maker.started();
        maker.note("RKD 001");
        first = good(journal->file().line(journal->device(), 2)).value();
        std::vector<std::string> many;
        for (int i = 0; i < 1100; ++i)
            many.push_back(
                good(journal::encodeLine(maker.line("weather.read", {}, {{"temperature_mk", 290'000 + i}}))));
        (void)good(journal->append(many));
    }
    std::string bytes = readFile(place.database);
    REQUIRE(bytes.find(idOf(first)) != std::string::npos);
    for (std::size_t at = bytes.find(idOf(first)); at != std::string::npos; at = bytes.find(idOf(first)))
        bytes[at] = static_cast<char>(bytes[at] ^ 1);
    std::ofstream(place.database, std::ios::binary | std::ios::trunc) << bytes;

    const auto journal = openWriter(place, 1); // a day in the field goes on
    JournalMaker(*journal, 3).note("RKD 002");
    const auto report = good(journal->file().verify());
    REQUIRE_FALSE(report.isSound());
    CHECK(report.faults.front().seq == 2);
    CHECK(report.faults.front().device == journal->device());
    std::filesystem::create_directory(folder.path() / "copies");
    const auto backup = journal->backup(folder.path() / "copies" / "copy.discal");
    REQUIRE_FALSE(backup);
    CHECK(backup.error().code == Code::Corrupt);
    CHECK(std::filesystem::is_empty(folder.path() / "copies"));
    const auto chain = journal->signedChain();
    REQUIRE_FALSE(chain);
    CHECK(chain.error().code == Code::Corrupt);
}

TEST_CASE("A byte flipped in a blob is found before a backup leaves", "[storage]") {
    Sample sample(3);
    Bytes damaged = sample.intact;
    const auto places = placesOf(damaged, "the initials of somebody");
    REQUIRE(places.size() == 1);
    flipBit(damaged, places.front() + 4, 2);
    sample.set(damaged);
    const auto journal = openWriter(sample.place, 1);
    const auto report = good(journal->file().verify());
    REQUIRE(report.faults.size() == 1);
    CHECK(report.faults.front().code == Code::Corrupt);
    CHECK_FALSE(journal->backup("/disk/copy.discal"));
    CHECK_FALSE(sample.disk.exists("/disk/copy.discal"));
    CHECK_FALSE(sample.disk.exists("/disk/copy.discal.part"));
}

namespace {

enum class Outcome { Refused, Found, Harmless };

/// Flips a bit anywhere in the file. Either somebody says so, or every line is still there as it was.
Outcome flipAnywhere(Sample& sample, std::uint64_t seed) {
    Choices choices(seed);
    Bytes damaged = sample.intact;
    flipBit(damaged, choices.below(damaged.size()), choices.below(8));
    sample.set(damaged);
    // A page that lies about itself must not bring down the reader either: the sanitizers watch.
    const auto opened = Journal::openForWriting(sample.place, writeOptions(9));
    if (!opened)
        return Outcome::Refused;
    Journal& journal = **opened;
    const auto report = journal.file().verify();
    const auto backup = journal.backup("/disk/copy-" + std::to_string(seed) + ".discal");
    sample.disk.remove("/disk/copy-" + std::to_string(seed) + ".discal.part");
    if (!report || !report->isSound()) {
        CHECK_FALSE(backup);
        return Outcome::Found;
    }
    CHECK(difference(linesOf(journal.file()), sample.lines) == "");
    return Outcome::Harmless;
}

void flipMany(std::uint64_t firstSeed, std::uint64_t count) {
    Sample sample(40);
    std::size_t harmless = 0;
    std::size_t refused = 0;
    for (std::uint64_t seed = firstSeed; seed < firstSeed + count; ++seed) {
        INFO("seed " << seed);
        const Outcome outcome = flipAnywhere(sample, seed);
        harmless += outcome == Outcome::Harmless ? 1 : 0;
        refused += outcome == Outcome::Refused ? 1 : 0;
    }
    CHECK(refused > 0);
    CHECK(harmless < count); // free room in pages, the schema's comments
}

} // namespace

TEST_CASE("A bit flipped anywhere in the file is found, or has changed no line", "[storage]") {
    flipMany(1, 50);
}

TEST_CASE("A thousand bits flipped anywhere in the file are found, or have changed no line",
          "[.long][storage]") {
    flipMany(10'001, 1000);
}

TEST_CASE("A journal cut at any page is refused or comes back whole", "[storage]") {
    Sample sample(40);
    for (std::size_t size = 512; size < sample.intact.size(); size += 4096 - 512) {
        INFO("cut at " << size << " of " << sample.intact.size());
        sample.set(Bytes(sample.intact.begin(), sample.intact.begin() + static_cast<std::ptrdiff_t>(size)));
        const auto opened = Journal::openForWriting(sample.place, writeOptions(9));
        if (opened)
            CHECK((linesOf((*opened)->file()) == sample.lines || (*opened)->newChain()));
        else
            CHECK((opened.error().code == Code::Corrupt || opened.error().code == Code::NotAJournal));
    }
}
