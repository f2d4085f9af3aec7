// No clock decides anything. A phone whose clock is wrong keeps what it said, and the order of lines is not
// its affair.

#include "storage/journal_maker.h"

#include "crash/simulated_disk.h"

#include "catch_compat.hpp"
#include "reference.h"

#include <algorithm>

using namespace discal;
using namespace discal::tests;
using journal::Uuid;
using storage::Journal;
using storage::Place;

namespace {

using std::chrono::hours;
using std::chrono::minutes;

struct Desk {
    SideFolder folder;
    SimulatedDisk disk;
    std::unique_ptr<Journal> open(const std::string& name, std::uint64_t seed) {
        return openWriter(Place("/disk/" + name + ".discal", folder.path() / name, disk.name()), seed);
    }
};

/// A day of one butterfly and its corrections, told with a clock that `disturb` may set before each line.
struct Story {
    std::vector<Uuid> lines;
    std::vector<std::string> times;
    Uuid butterfly;

    template <class Disturb>
    Story(JournalMaker& maker, Disturb&& disturb) {
        int n = 0;
        const auto tell = [&](auto&& write) {
            disturb(maker, n++);
            lines.push_back(write());
            times.push_back(time::formatUtc(maker.now));
        };
        tell([&] { return maker.started(); });
        tell([&] { return maker.sheetReceived("RKD 001", 50); });
        tell([&] {
            const Uuid line = maker.note("RKD 014");
            butterfly = maker.subject();
            return line;
        });
        tell([&] { return maker.held(butterfly); });
        tell([&] { return maker.correct(lines[2], "sex", "male"); });
        tell([&] { return maker.correct(lines[2], "sex", "female", {lines[4]}); });
        tell([&] { return maker.released(butterfly); });
        tell([&] { return maker.recaptured("RKD 014", butterfly); });
    }
};

} // namespace

TEST_CASE("Clocks that jump change no order and no fate, and every time is kept as it was written",
          "[storage]") {
    Desk desk;
    const auto journal = desk.open("a", 1);
    JournalMaker maker(*journal, 1);
    const auto morning = maker.now;
    const std::vector<time::milliseconds> jumps{
        hours(0), -hours(1), hours(24 * 3650), hours(0), -hours(24 * 365 * 60),
        hours(3), -hours(2), hours(1)};
    const Story story(maker, [&](JournalMaker& m, int n) {
        m.now = morning + jumps[static_cast<std::size_t>(n)];
        m.offset = minutes(n % 2 == 0 ? 120 : -480);
        m.zone = n % 3 == 0 ? std::nullopt
                            : std::optional<std::string>(n % 3 == 1 ? "America/Denver" : "Europe/Berlin");
        // The phone starts anew every third line: its uptime begins again.
        m.boot = "boot-" + std::to_string(n / 3);
        m.upMs = n % 3 == 0 ? 0 : 1000;
    });

    const auto b = good(journal->projections().butterfly(story.butterfly.text())).value();
    CHECK(b.fate == butterfly::Fate::Released);
    CHECK(b.sex == "female");
    CHECK(b.recaptures == 1);
    CHECK(b.contradictions.empty());
    CHECK(b.lines == std::vector<Uuid>{story.lines[2], story.lines[3], story.lines[6], story.lines[7]});
    CHECK(b.notedAt == story.times[2]);
    CHECK(b.heldSince == story.times[3]);
    CHECK(b.releasedAt == story.times[6]);

    std::int64_t lamport = 0;
    good(journal->file().visit(journal->device(), 1,
                               [&](std::int64_t seq, std::string_view bytes, const auto&) {
                                   const auto line = good(journal::parseLine(bytes));
                                   const auto n = static_cast<std::size_t>(seq - 1);
                                   CHECK(line.id == story.lines[n]);
                                   CHECK(line.lamport == lamport + 1);
                                   lamport = line.lamport;
                                   CHECK(time::formatUtc(line.at) == story.times[n]);
                                   CHECK(line.offset == minutes(n % 2 == 0 ? 120 : -480));
                                   CHECK(line.zone.has_value() == (n % 3 != 0));
                                   CHECK(line.boot == "boot-" + std::to_string(n / 3));
                                   return true;
                               }));
    CHECK(lamport == 8);
    const std::string dump = good(journal->projections().dump());
    good(journal->projections().rebuild());
    CHECK(difference(good(journal->projections().dump()), dump) == "");
}

TEST_CASE("Of two phones the one whose clock runs ten years ahead does not win", "[storage]") {
    for (const auto skew : {hours(24 * 3650), -hours(24 * 3650), hours(0)}) {
        Desk desk;
        const auto right = desk.open("right", 1);
        const auto wrong = desk.open("wrong", 2);
        JournalMaker honest(*right, 1);
        JournalMaker skewed(*wrong, 2);
        honest.started();
        honest.founded();
        const Uuid line = honest.note("RKD 014", "female");
        const Uuid butterfly = honest.subject();
        honest.enrolled(wrong->device(), "office");
        (void)good(wrong->receive(delivery(*right, right->device())));
        skewed.now += skew;
        skewed.started();
        const Uuid theirs = skewed.correct(line, "sex", "male");
        (void)good(right->receive(delivery(*wrong, wrong->device())));
        // Written after the other was seen, whatever the clocks say.
        honest.correct(line, "sex", "unknown", {theirs});
        (void)good(wrong->receive(delivery(*right, right->device())));
        for (Journal* journal : {right.get(), wrong.get()})
            CHECK(good(journal->projections().butterfly(butterfly.text()))->sex == "unknown");
        CHECK(difference(good(right->projections().dump()), good(wrong->projections().dump())) == "");
    }
}

TEST_CASE("A clock before 1970 or after 9999 still gives lines that can be read", "[storage]") {
    Desk desk;
    const auto journal = desk.open("a", 1);
    JournalMaker maker(*journal, 1);
    maker.started();
    maker.now = time::Instant(std::chrono::seconds(-3600));
    maker.note("RKD 014");
    const Uuid first = maker.subject();
    maker.now = good(time::parseUtc("9999-12-31T23:00:00.000Z"));
    maker.note("RKD 015");
    maker.now = good(time::parseUtc("2025-08-30T07:00:00.000Z"));
    maker.released(first);
    CHECK(good(journal->projections().butterfly(first.text()))->fate == butterfly::Fate::Released);
    CHECK(good(journal->projections().butterflyCount()) == 2);
    CHECK(good(journal->projections().greatestLamport()) == 4);
}

TEST_CASE("Lamports go on over a restart and over what others have seen", "[storage]") {
    Desk desk;
    const auto other = desk.open("other", 2);
    JournalMaker theirs(*other, 2);
    theirs.started();
    for (int i = 0; i < 30; ++i)
        theirs.note("ABC 1" + std::to_string(10 + i));
    {
        const auto journal = desk.open("a", 1);
        JournalMaker(*journal, 1).started();
        CHECK(good(journal->projections().greatestLamport()) == 1);
        (void)good(journal->receive(delivery(*other, other->device())));
    }
    const auto journal = desk.open("a", 1);
    CHECK(good(journal->projections().greatestLamport()) == 31);
    JournalMaker maker(*journal, 5);
    maker.note("RKD 014");
    CHECK(good(journal->projections().greatestLamport()) == 32);
}
