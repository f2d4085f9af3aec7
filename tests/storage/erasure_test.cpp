// What people ask to be erased is gone: from the file, its -wal, its projections and every later copy. The
// chain stands.

#include "storage/journal_maker.h"

#include "crash/simulated_disk.h"

#include "catch_compat.hpp"
#include "reference.h"

#include <algorithm>
#include <filesystem>

using namespace discal;
using namespace discal::tests;
using storage::Journal;
using storage::Place;

namespace {

const std::string kText = "Wilhelmina Quackenbush, 3 Duck Lane";

/// Names of the files below `folder` that hold `text`, joined.
std::string filesWith(const std::filesystem::path& folder, const std::string& text) {
    std::string out;
    for (const auto& entry : std::filesystem::recursive_directory_iterator(folder))
        if (entry.is_regular_file() && readFile(entry.path()).find(text) != std::string::npos)
            out += entry.path().filename().string() + " ";
    return out;
}

/// The same on a disk in memory.
std::string filesWith(const SimulatedDisk& disk, const std::string& text) {
    std::string out;
    for (const std::string& name : disk.fileNames()) {
        const auto bytes = disk.bytes(name);
        if (std::search(bytes.begin(), bytes.end(), text.begin(), text.end()) != bytes.end())
            out += name + " ";
    }
    return out;
}

} // namespace

TEST_CASE("After blob.erased no byte of the text is left in any file, and the chain still verifies",
          "[storage]") {
    const TemporaryFolder folder;
    const Place place(folder.path() / "a.discal");
    auto journal = openWriter(place, 1);
    JournalMaker maker(*journal, 1);
    maker.started();
    maker.named(kText);
    const auto name = maker.blob().sha256;
    SECTION("while it is still in the -wal") {
        REQUIRE(readFile(place.database.string() + "-wal").find(kText) != std::string::npos);
    }
    SECTION("when it is in the file") {
        good(journal->idle());
        REQUIRE(readFile(place.database).find(kText) != std::string::npos);
        maker.note("RKD 014");
    }
    SECTION("in the file, and again in the -wal, with a neighbour") {
        good(journal->idle());
        maker.named("somebody else");
    }
    SECTION("half typed on a page, too") {
        good(journal->file().setDraft("correct", "values", "{\"note\":\"" + kText + "\"}"));
        good(journal->idle());
        REQUIRE(readFile(place.database).find(kText) != std::string::npos);
    }
    maker.eraseBlob(name);
    // Gone at once, while the journal is open.
    CHECK(filesWith(folder.path(), "Quackenbush") == "");
    CHECK(filesWith(folder.path(), "Duck Lane") == "");
    CHECK_FALSE(good(journal->file().blob(name)));
    CHECK(good(journal->projections().isErased(name)));
    CHECK(good(journal->file().verify()).isSound());
    good(journal->backup(folder.path() / "copy.discal"));
    journal.reset();
    CHECK(filesWith(folder.path(), "Quackenbush") == "");
    const auto copy = openReader(Place(folder.path() / "copy.discal"));
    CHECK(good(copy->projections().isErased(name)));
    CHECK(good(copy->file().verify()).isSound());
    CHECK(linesOf(copy->file()).size() == linesOf(openReader(place)->file()).size());
}

// SQLite's secure_delete zeroes freed cells; when neighbours go, pages are merged, and cells that move may
// stay behind in the free room of the page that they came from.
TEST_CASE("No trace of an erased text is left in pages that were merged or rebuilt", "[storage]") {
    const SideFolder folder;
    for (std::uint64_t seed = 1; seed <= 6; ++seed) {
        INFO("seed " << seed);
        SimulatedDisk disk;
        const auto journal =
            openWriter(Place("/disk/a.discal", folder.path() / std::to_string(seed), disk.name()), seed);
        JournalMaker maker(*journal, seed);
        Choices choices(seed);
        maker.started();
        // Texts of all sizes up to some pages; every one of them can be told by its number.
        std::vector<std::pair<std::string, journal::Hash>> people;
        for (std::size_t i = 0; i < 60; ++i) {
            const std::string text = "<person " + std::to_string(1000 * seed + i) + ">";
            maker.named(text + std::string(choices.below(choices.chance(1, 8) ? 6000 : 900), 'n'));
            people.emplace_back(text, maker.blob().sha256);
        }
        if (seed % 2 == 0)
            good(journal->idle());
        choices.shuffle(people);
        for (std::size_t i = 0; i < 45; ++i) {
            maker.eraseBlob(people[i].second);
            REQUIRE(filesWith(disk, people[i].first) == "");
        }
        CHECK(good(journal->file().blobNames()).size() == 15);
        CHECK(good(journal->file().verify()).isSound());
    }
}

TEST_CASE("A large picture is erased from all of its pages", "[storage]") {
    const TemporaryFolder folder;
    const Place place(folder.path() / "a.discal");
    const auto journal = openWriter(place, 1);
    JournalMaker maker(*journal, 1);
    maker.started();
    std::string picture;
    while (picture.size() + kText.size() < storage::kLargestBlobContent)
        picture += kText + " ";
    maker.named(picture);
    const auto name = maker.blob().sha256;
    good(journal->idle());
    maker.eraseBlob(name);
    CHECK(filesWith(folder.path(), "Quackenbush") == "");
    CHECK(good(journal->file().verify()).isSound());
}

TEST_CASE("A reader that is in the way delays the last of it to the next idle moment", "[storage]") {
    const TemporaryFolder folder;
    const Place place(folder.path() / "a.discal");
    const auto journal = openWriter(place, 1);
    JournalMaker maker(*journal, 1);
    maker.started();
    maker.named(kText);
    const auto name = maker.blob().sha256;
    auto reader = openReader(place);
    auto held = std::make_unique<storage::JournalFile::Snapshot>(reader->file());
    const auto before = journal->head().seq;
    maker.eraseBlob(name); // saved, though the -wal can't be cut yet
    CHECK(journal->head().seq == before + 1);
    CHECK_FALSE(good(journal->file().blob(name)));
    maker.note("RKD 014");
    held.reset();
    reader.reset();
    good(journal->idle());
    CHECK(filesWith(folder.path(), "Quackenbush") == "");
}

TEST_CASE("A crash between the erasing line and the bytes going is made good at the next opening",
          "[storage]") {
    const TemporaryFolder folder;
    const Place place(folder.path() / "a.discal");
    {
        const auto journal = openWriter(place, 1);
        JournalMaker maker(*journal, 1);
        maker.started();
        maker.named(kText);
        // The line without what Journal::append does next.
        const auto line = good(journal::encodeLine(maker.line(
            "blob.erased", {}, {{"blob", journal::hexOf(maker.blob().sha256)}, {"why", "asked"}})));
        (void)good(journal->file().append(journal->device(), journal->head(), {line}, {}));
    }
    REQUIRE(filesWith(folder.path(), "Quackenbush") != "");
    const auto journal = openWriter(place, 2);
    CHECK_FALSE(journal->newChain());
    CHECK(filesWith(folder.path(), "Quackenbush") == "");
}

TEST_CASE("A delivery that brings an erased blob again does not bring it back", "[storage]") {
    const TemporaryFolder folder;
    const Place place(folder.path() / "a.discal");
    const auto theirs = openWriter(Place(folder.path() / "theirs.discal"), 2);
    JournalMaker they(*theirs, 2);
    they.started();
    they.named(kText);
    const storage::Blob blob = they.blob();
    auto before = delivery(*theirs, theirs->device());
    before.blobs = {blob};
    they.eraseBlob(blob.sha256);
    auto after = delivery(*theirs, theirs->device());
    after.blobs = {blob};
    REQUIRE_FALSE(good(theirs->file().blob(blob.sha256)));

    std::filesystem::create_directory(folder.path() / "ours");
    const auto ours = openWriter(Place(folder.path() / "ours" / "a.discal"), 3);
    JournalMaker(*ours, 3).started();
    CHECK(good(ours->receive(before)).blobs == 1);
    CHECK(good(ours->file().blob(blob.sha256)));
    SECTION("with the line that erases it") {
        (void)good(ours->receive(after));
    }
    SECTION("later") {
        after.blobs.clear();
        (void)good(ours->receive(after));
        CHECK_FALSE(good(ours->file().blob(blob.sha256)));
        CHECK(good(ours->receive(before)).blobs == 0);
        after.blobs = {blob};
        CHECK(good(ours->receive(after)).blobs == 0);
    }
    SECTION("into a journal that has both at once") {
        const auto third = openWriter(Place(folder.path() / "ours" / "third.discal"), 4);
        (void)good(third->receive(after));
        CHECK_FALSE(good(third->file().blob(blob.sha256)));
        (void)good(ours->receive(after));
    }
    CHECK_FALSE(good(ours->file().blob(blob.sha256)));
    CHECK(filesWith(folder.path() / "ours", "Quackenbush") == "");
    CHECK(good(ours->file().verify()).isSound());
}

TEST_CASE("Only an office erases, once there is a station", "[storage]") {
    const TemporaryFolder folder;
    const auto office = openWriter(Place(folder.path() / "office.discal"), 2);
    JournalMaker boss(*office, 2);
    boss.started();
    boss.founded();
    const auto journal = openWriter(Place(folder.path() / "a.discal"), 1);
    (void)good(journal->receive(delivery(*office, office->device())));
    JournalMaker maker(*journal, 1);
    maker.started();
    maker.named(kText);
    const auto blob = maker.blob();
    maker.eraseBlob(blob.sha256);
    CHECK(good(journal->file().blob(blob.sha256)));
    CHECK_FALSE(good(journal->projections().isErased(blob.sha256)));

    boss.eraseBlob(blob.sha256);
    (void)good(journal->receive(delivery(*office, office->device())));
    CHECK_FALSE(good(journal->file().blob(blob.sha256)));
}
