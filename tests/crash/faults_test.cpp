// A disk that fails at any one call: append never says "saved" falsely, and the journal is usable afterwards.

#include "simulated_disk.h"

#include "storage/journal_maker.h"

#include "catch_compat.hpp"

#include <algorithm>
#include <fstream>

using namespace discal;
using namespace discal::tests;
using storage::Journal;
using storage::Place;

namespace {

const std::string kFile = "/disk/a.discal";

/// A closed journal of some lines, to open again and again.
struct Start {
    SideFolder folder;
    std::vector<std::uint8_t> file;
    std::vector<std::uint8_t> state;
    std::string mark;
    std::vector<std::string> lines;

    Start() {
        SimulatedDisk disk;
        const Place place = placeOn(disk);
        {
            const auto journal = openWriter(place, 1);
            JournalMaker maker(*journal, 1);
            maker.started();
            maker.sheetReceived("RKD 001", 50);
            maker.note("RKD 010");
            lines = linesOf(journal->file());
        }
        file = disk.bytes(kFile);
        state = disk.bytes(place.state().string());
        std::ifstream in(place.mark());
        std::getline(in, mark);
    }

    [[nodiscard]] Place placeOn(const SimulatedDisk& disk) const {
        return Place(kFile, folder.path() / "a", disk.name());
    }

    void putOn(SimulatedDisk& disk) const {
        const Place place = placeOn(disk);
        disk.setBytes(kFile, file);
        disk.setBytes(place.state().string(), state);
        std::ofstream(place.mark(), std::ios::trunc) << mark << "\n";
    }
};

struct Try {
    std::string line;
    bool isSaved{false};
};

bool has(const std::vector<std::string>& lines, const std::string& line) {
    return std::any_of(lines.begin(), lines.end(),
                       [&](const std::string& l) { return l.ends_with(" " + line); });
}

void checkRows(Journal& journal) {
    const auto fresh = good(storage::Projections::openInMemory(journal.file()));
    REQUIRE(difference(good(journal.projections().dump()), good(fresh->dump())) == "");
}

enum class Then {
    GoesOn,    ///< the fault passes, one more line is written, the program ends well
    LosesPower ///< the program is cut off at once
};

/// Open, append, append, with a fault at call `n`. Returns whether it fired.
bool runWith(const Start& start, std::uint64_t n, Fault fault, Repeat repeat, Then then) {
    DiskOptions options;
    options.seed = n;
    SimulatedDisk disk(options);
    start.putOn(disk);
    const Place place = start.placeOn(disk);
    disk.resetCounters();
    disk.failAt(n, fault, repeat);

    std::vector<Try> tries;
    const auto append = [&](Journal& journal, JournalMaker& maker, const std::string& code) {
        // The projections may fail to tell the lamport while the disk fails: any will do here.
        journal::Line line = maker.noteLine(code);
        tries.push_back({good(journal::encodeLine(line)), false});
        const auto appended = journal.append({tries.back().line});
        tries.back().isSaved = appended.has_value();
        return appended.has_value();
    };
    {
        auto opened = Journal::openForWriting(place, writeOptions(5));
        if (!opened) {
            disk.clearFaults();
            opened = Journal::openForWriting(place, writeOptions(5));
            INFO(wordsOf(opened));
            REQUIRE(opened);
        }
        Journal& journal = **opened;
        REQUIRE_FALSE(journal.newChain());
        JournalMaker maker(journal, n);
        append(journal, maker, "RKD 011");
        append(journal, maker, "RKD 012");
        if (then == Then::GoesOn) {
            disk.clearFaults();
            REQUIRE(append(journal, maker, "RKD 013"));
            REQUIRE(good(journal.file().verify()).isSound());
            checkRows(journal);
        } else {
            disk.crashAt(disk.writePoints() + 1, 1); // closing changes nothing any more
        }
    }
    const bool hasFired = disk.faultsFired() > 0;
    disk.clearFaults();
    disk.crash(n * 31);

    const auto journal = openWriter(place, 6);
    REQUIRE_FALSE(journal->newChain());
    const auto lines = linesOf(journal->file());
    for (const std::string& line : start.lines)
        REQUIRE(std::find(lines.begin(), lines.end(), line) != lines.end());
    std::size_t saved = 0;
    for (const Try& t : tries) {
        INFO(t.line);
        if (t.isSaved)
            REQUIRE(has(lines, t.line));
        saved += t.isSaved ? 1 : 0;
    }
    if (then == Then::GoesOn) {
        // What was refused has been written over.
        REQUIRE(lines.size() == start.lines.size() + saved);
    } else {
        // What was refused last may be there: its bytes were written, and the sync that failed is not known
        // to have done nothing. Nobody was told that it is saved, and it is whole. No more can be claimed of
        // any disk.
        const bool isLastRefused = !tries.back().isSaved;
        REQUIRE(lines.size() - start.lines.size() - saved <= (isLastRefused ? 1U : 0U));
    }
    REQUIRE(good(journal->file().verify()).isSound());
    checkRows(*journal);
    return hasFired;
}

/// Every call that can fail, `step` apart.
void failEverywhere(Fault fault, Repeat repeat, Then then, std::uint64_t step) {
    const Start start;
    std::uint64_t n = 1;
    for (;; n += step) {
        INFO("call " << n);
        if (!runWith(start, n, fault, repeat, then))
            break;
        REQUIRE(n < 5000);
    }
    CHECK(n > 20);
}

} // namespace

TEST_CASE("An I/O error at any call never makes a false promise", "[crash]") {
    failEverywhere(Fault::IoError, Repeat::Once, Then::GoesOn, 1);
}

TEST_CASE("I/O errors that go on for a while never make a false promise", "[crash]") {
    failEverywhere(Fault::IoError, Repeat::Sticky, Then::GoesOn, 3);
}

TEST_CASE("An I/O error and then no power never makes a false promise", "[crash]") {
    failEverywhere(Fault::IoError, Repeat::Once, Then::LosesPower, 2);
}

TEST_CASE("A write cut short at any call never makes a false promise", "[crash]") {
    failEverywhere(Fault::ShortWrite, Repeat::Once, Then::GoesOn, 2);
    failEverywhere(Fault::ShortWrite, Repeat::Once, Then::LosesPower, 5);
}

TEST_CASE("A disk that is full from any call on never makes a false promise", "[crash]") {
    failEverywhere(Fault::DiskFull, Repeat::Once, Then::GoesOn, 2);
    failEverywhere(Fault::DiskFull, Repeat::Once, Then::LosesPower, 5);
}

TEST_CASE("No memory at any call never makes a false promise", "[crash]") {
    failEverywhere(Fault::OutOfMemory, Repeat::Once, Then::GoesOn, 2);
    failEverywhere(Fault::OutOfMemory, Repeat::Sticky, Then::GoesOn, 7);
}

// After a sync that failed the kernel may have forgotten the pages (fsyncgate, 2018). Every commit writes all
// of its frames again after the last good one, so the next good sync covers them.
TEST_CASE("A sync that fails never makes a false promise", "[crash]") {
    failEverywhere(Fault::SyncFails, Repeat::Once, Then::GoesOn, 1);
    failEverywhere(Fault::SyncFails, Repeat::Once, Then::LosesPower, 1);
}

TEST_CASE("Any fault at every call never makes a false promise", "[.long][crash]") {
    for (const Fault fault :
         {Fault::IoError, Fault::ShortWrite, Fault::DiskFull, Fault::OutOfMemory, Fault::SyncFails})
        for (const Repeat repeat : {Repeat::Once, Repeat::Sticky})
            for (const Then then : {Then::GoesOn, Then::LosesPower})
                failEverywhere(fault, repeat, then, 1);
}

namespace {

/// Makes a journal from nothing with a fault at call `n`; then again without.
bool makeWith(std::uint64_t n, Fault fault) {
    const SideFolder folder;
    SimulatedDisk disk;
    const Place place(kFile, folder.path() / "a", disk.name());
    disk.resetCounters();
    disk.failAt(n, fault);
    {
        const auto opened = Journal::openForWriting(place, writeOptions(5));
        if (opened) {
            JournalMaker maker(**opened, n);
            (void)maker.tryAppend(maker.line("device.started", {}, {}));
        }
    }
    const bool hasFired = disk.faultsFired() > 0;
    disk.clearFaults();
    const auto journal = openWriter(place, 6);
    JournalMaker maker(*journal, n + 1);
    if (journal->newChain())
        maker.started();
    maker.note("RKD 010");
    CHECK(journal->head().seq == 2);
    REQUIRE(good(journal->file().verify()).isSound());
    checkRows(*journal);
    return hasFired;
}

} // namespace

TEST_CASE("A journal whose making failed at any call can be made at the next try", "[crash]") {
    for (const auto& [fault, step] : {std::pair{Fault::IoError, 4U}, std::pair{Fault::ShortWrite, 4U},
                                      std::pair{Fault::DiskFull, 4U}, std::pair{Fault::SyncFails, 2U}})
        for (std::uint64_t n = 1;; n += step) {
            INFO("fault " << static_cast<int>(fault) << " at call " << n);
            if (!makeWith(n, fault))
                break;
        }
}

TEST_CASE("A delivery that meets a fault is stored whole or not at all, and can be repeated", "[crash]") {
    const Start start;
    const SideFolder folder;
    SimulatedDisk otherDisk;
    const auto other = openWriter(Place("/disk/o.discal", folder.path() / "o", otherDisk.name()), 9);
    JournalMaker theirs(*other, 9);
    theirs.started();
    theirs.named("somebody");
    for (int i = 20; i < 30; ++i)
        theirs.note("RKD 0" + std::to_string(i));
    auto sent = delivery(*other, other->device());
    sent.blobs = {theirs.blob()};
    for (const Fault fault : {Fault::IoError, Fault::DiskFull, Fault::SyncFails}) {
        for (std::uint64_t n = 1;; n += 2) {
            INFO("fault " << static_cast<int>(fault) << " at call " << n);
            SimulatedDisk disk;
            start.putOn(disk);
            const auto journal = openWriter(start.placeOn(disk), 5);
            disk.resetCounters();
            disk.failAt(n, fault);
            const auto received = journal->receive(sent);
            const bool hasFired = disk.faultsFired() > 0;
            disk.clearFaults();
            const auto chain = good(journal->file().chain(sent.device));
            REQUIRE((chain ? chain->head.seq : 0) == (received ? 12 : 0));
            REQUIRE(good(journal->file().blob(theirs.blob().sha256)).has_value() == received.has_value());
            const auto again = good(journal->receive(sent));
            REQUIRE(again.fresh + again.known == 12);
            REQUIRE(good(journal->file().verify()).isSound());
            checkRows(*journal);
            if (!hasFired)
                break;
        }
    }
}
