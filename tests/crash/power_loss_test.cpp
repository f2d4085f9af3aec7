// Power lost at any write while a journal is made, written, tidied and closed: every line that was told to be
// saved is there.

#include "simulated_disk.h"

#include "storage/journal_maker.h"

#include "catch_compat.hpp"

#include <algorithm>

using namespace discal;
using namespace discal::tests;
using storage::Journal;
using storage::Place;

namespace {

const std::string kFile = "/disk/a.discal";
const std::string kWal = kFile + "-wal";
const std::string kState = kFile + ".state";
const std::string kStateWal = kState + "-wal";

/// What a program that is cut off knows.
struct Told {
    std::vector<std::string> saved;   ///< lines that it was told are saved, in order
    std::vector<std::string> waiting; ///< of the commit that it waited for
};

/// Ten entries, one of them an act of three lines and one with a blob; then idle; then ten more lines, and a
/// clean end.
void work(const Place& place, std::uint64_t seed, Told& told) {
    auto opened = Journal::openForWriting(place, writeOptions(seed));
    if (!opened)
        return;
    Journal& journal = **opened;
    JournalMaker maker(journal, seed);
    const auto commit = [&](const std::vector<journal::Line>& lines,
                            const std::vector<storage::Blob>& blobs = {}) {
        told.waiting.clear();
        for (const journal::Line& line : lines)
            told.waiting.push_back(good(journal::encodeLine(line)));
        if (!journal.append(told.waiting, blobs))
            return false;
        told.saved.insert(told.saved.end(), told.waiting.begin(), told.waiting.end());
        told.waiting.clear();
        return true;
    };
    if (!commit({maker.line("device.started", {}, {{"name", "phone"}})}) ||
        !commit({maker.line("sheet.received", {maker.newId()}, {{"first", "RKD 001"}, {"count", 40}})}))
        return;
    for (int i = 10; i < 16; ++i)
        if (!commit({maker.noteLine("RKD 0" + std::to_string(i))}))
            return;
    if (!commit({maker.noteLine("RKD 020"), maker.noteLine("RKD 021"), maker.noteLine("RKD 022")}))
        return;
    const auto blob = good(storage::makeBlob({}, std::string(9000, 'n')));
    if (!commit({maker.line("person.named", {maker.newId()},
                            {{"initials", {{"blob", journal::hexOf(blob.sha256)}}}})},
                {blob}))
        return;
    (void)journal.idle();
    for (int i = 30; i < 40; ++i)
        if (!commit({maker.noteLine("RKD 0" + std::to_string(i))}))
            return;
}

std::vector<std::string> ownLines(Journal& journal) {
    std::vector<std::string> out;
    good(journal.file().visit(journal.device(), 1, [&](auto, std::string_view line, const auto&) {
        out.emplace_back(line);
        return true;
    }));
    return out;
}

void checkRows(Journal& journal) {
    const auto fresh = good(storage::Projections::openInMemory(journal.file()));
    REQUIRE(difference(good(journal.projections().dump()), good(fresh->dump())) == "");
}

/// How many write points there are, over the whole life.
std::uint64_t writePointsOfALife() {
    const SideFolder folder;
    SimulatedDisk disk;
    Told told;
    disk.resetCounters();
    work(Place(kFile, folder.path() / "a", disk.name()), 1, told);
    REQUIRE(told.saved.size() == 22);
    return disk.writePoints();
}

void loseOnce(std::uint64_t point, std::uint64_t seed) {
    INFO("write point " << point << ", seed " << seed);
    const SideFolder folder;
    DiskOptions options;
    options.powersafeOverwrite = seed % 2 == 0;
    options.seed = seed;
    SimulatedDisk disk(options);
    const Place place(kFile, folder.path() / "a", disk.name());
    Told told;
    disk.crashAt(point, seed);
    work(place, 1, told);
    const bool hadTrouble = disk.isFrozen();
    disk.crash(seed);

    {
        const auto journal = openWriter(place, 2);
        const auto lines = ownLines(*journal);
        if (journal->newChain()) {
            // It had not come to its first line.
            REQUIRE(told.saved.empty());
            REQUIRE(lines.empty());
        } else {
            REQUIRE(lines.size() >= told.saved.size());
            REQUIRE(std::equal(told.saved.begin(), told.saved.end(), lines.begin()));
            // Beyond them at most the one commit that was waited for, and all of it.
            if (lines.size() > told.saved.size())
                REQUIRE(
                    std::vector<std::string>(lines.begin() + static_cast<std::ptrdiff_t>(told.saved.size()),
                                             lines.end()) == told.waiting);
            if (!hadTrouble)
                REQUIRE(lines.size() == 22);
        }
        const auto report = good(journal->file().verify());
        REQUIRE(report.isSound());
        REQUIRE(report.lines == static_cast<std::int64_t>(lines.size()));
        checkRows(*journal);
        // A day goes on.
        JournalMaker maker(*journal, 77);
        if (journal->newChain())
            maker.started();
        maker.note("RKD 099");
        checkRows(*journal);
    }
    const auto journal = openWriter(place, 3);
    REQUIRE_FALSE(journal->newChain());
    REQUIRE(good(journal->projections().butterfliesWith("RKD 099")).size() == 1);
    REQUIRE(good(journal->file().verify()).isSound());
}

void loseMany(std::uint64_t times, std::uint64_t firstSeed) {
    const std::uint64_t points = writePointsOfALife();
    REQUIRE(points > 50);
    // A stride that meets every point in turn, and in a short run points from everywhere.
    for (std::uint64_t i = 0; i < times; ++i)
        loseOnce(1 + (i * 37) % points, firstSeed + i);
}

} // namespace

TEST_CASE("No line that was told to be saved is lost when power fails at any write", "[crash]") {
    loseMany(200, 1);
}

TEST_CASE("No line that was told to be saved is lost when power fails ten thousand times", "[.long][crash]") {
    loseMany(10'000, 1'000);
}

TEST_CASE("Power lost again while coming up after a loss takes nothing either", "[crash]") {
    const std::uint64_t points = writePointsOfALife();
    for (std::uint64_t seed = 1; seed <= 15; ++seed) {
        INFO("seed " << seed);
        const SideFolder folder;
        SimulatedDisk disk;
        const Place place(kFile, folder.path() / "a", disk.name());
        Told told;
        disk.resetCounters();
        disk.crashAt(points / 2 + seed * 3 % (points / 2), seed);
        work(place, 1, told);
        disk.crash(seed);
        REQUIRE(told.saved.size() > 2);
        for (std::uint64_t again = 1; again < 6; ++again) {
            disk.resetCounters();
            disk.crashAt(again + seed % 3, seed + again);
            (void)Journal::openForWriting(place, writeOptions(2));
            disk.crash(seed * 7 + again);
        }
        const auto journal = openWriter(place, 3);
        REQUIRE_FALSE(journal->newChain());
        const auto lines = ownLines(*journal);
        REQUIRE(lines.size() >= told.saved.size());
        REQUIRE(std::equal(told.saved.begin(), told.saved.end(), lines.begin()));
        checkRows(*journal);
    }
}

TEST_CASE("Power lost while a text is erased leaves no trace of it after the next opening", "[crash]") {
    const std::string text = "Wilhelmina Quackenbush";
    const auto filesWith = [&](const SimulatedDisk& disk) {
        std::string out;
        for (const std::string& name : disk.fileNames()) {
            const auto bytes = disk.bytes(name);
            if (std::search(bytes.begin(), bytes.end(), text.begin(), text.end()) != bytes.end())
                out += name + " ";
        }
        return out;
    };
    bool isThrough = false;
    for (std::uint64_t point = 1; !isThrough; point += 2) {
        INFO("write point " << point);
        const SideFolder folder;
        SimulatedDisk disk;
        const Place place(kFile, folder.path() / "a", disk.name());
        bool isSaved = false;
        {
            const auto journal = openWriter(place, 1);
            JournalMaker maker(*journal, 1);
            maker.started();
            for (int i = 0; i < 12; ++i)
                maker.named("neighbour " + std::string(500, 'n'));
            maker.named(text);
            const auto name = maker.blob().sha256;
            if (point % 4 == 1)
                good(journal->idle());
            const auto line =
                maker.line("blob.erased", {}, {{"blob", journal::hexOf(name)}, {"why", "asked"}});
            disk.resetCounters();
            disk.crashAt(point, point);
            isSaved = maker.tryAppend(line).has_value();
            isThrough = !disk.isFrozen();
        }
        disk.crash(point);
        const auto journal = openWriter(place, 2);
        REQUIRE_FALSE(journal->newChain());
        const bool isErased = !good(journal->projections().erasedBlobs()).empty();
        if (isSaved)
            REQUIRE(isErased);
        if (isErased)
            REQUIRE(filesWith(disk) == "");
        REQUIRE(good(journal->file().blobNames()).size() == (isErased ? 12 : 13));
        REQUIRE(good(journal->file().verify()).isSound());
        REQUIRE(point < 1000);
    }
}

TEST_CASE("A commit costs one sync, few pages, and never a checkpoint", "[crash]") {
    const SideFolder folder;
    SimulatedDisk disk;
    const auto journal = openWriter(Place(kFile, folder.path() / "a", disk.name()), 1);
    JournalMaker maker(*journal, 1);
    maker.started();
    maker.sheetReceived("RKD 001", 999);
    std::uint64_t pages = 0;
    constexpr std::uint64_t kCommits = 300;
    for (std::uint64_t i = 0; i < kCommits; ++i) {
        disk.resetCounters();
        maker.note("RKD " + std::to_string(100 + i));
        INFO("commit " << i);
        CHECK(disk.counters(kWal).syncs == 1);
        CHECK(disk.counters(kWal).pagesWrittenToWal <= 10);
        CHECK(disk.counters(kFile).writes == 0);
        CHECK(disk.counters(kFile).syncs == 0);
        CHECK(disk.totalCounters().syncs == 1);
        pages += disk.counters(kWal).pagesWrittenToWal + disk.counters(kStateWal).pagesWrittenToWal +
                 disk.counters(kState).writes;
    }
    disk.resetCounters();
    good(journal->projections().flush());
    pages += disk.counters(kStateWal).pagesWrittenToWal + disk.counters(kState).writes;
    INFO(pages << " pages in " << kCommits << " commits");
    CHECK(pages <= 10 * kCommits);

    // The first commit after a checkpoint begins the -wal anew: one sync more, for its header.
    good(journal->idle());
    disk.resetCounters();
    maker.note("RKD 900");
    CHECK(disk.counters(kWal).syncs == 2);
    CHECK(disk.totalCounters().syncs == 2);
}
